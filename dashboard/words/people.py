"""People as the pages and commands call them."""

from collections.abc import Mapping

from models.permits import EVERY_GROUP, Reader, Role

NOBODY: Mapping[str, str] = {}


def role_in_words(reader: Reader, names: Mapping[str, str] = NOBODY) -> str:
    """What somebody is here, and for whom: coach of Juniors, guardian of Ada Lind; by code whom `names` has not."""
    if reader.role is Role.COACH:
        return (
            "coach of every group" if EVERY_GROUP in reader.groups else f"coach of {', '.join(sorted(reader.groups))}"
        )
    whom = ", ".join(sorted(names.get(player, player) for player in reader.players))
    return {Role.PLAYER: f"player {whom}", Role.GUARDIAN: f"guardian of {whom}"}.get(reader.role, str(reader.role))


def person_in_words(reader: Reader, names: Mapping[str, str] = NOBODY) -> str:
    """M. Roe, coach of Juniors; the name alone where it says the same."""
    role = role_in_words(reader, names)
    is_told = reader.name.casefold() in (role.casefold(), role.removeprefix("player ").casefold())
    return reader.name if is_told else f"{reader.name}, {role}"


def invitation_to_send(name: str, club: str, link: str) -> str:
    """A message with a link, for somebody to send as they like."""
    return (
        f"Hello {name}, this link lets you in to the training pages of {club}. Open it within seven days and choose a "
        f"password; it works once, so do not pass it on. {link}"
    )
