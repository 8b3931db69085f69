"""People as the pages and commands call them."""

from models.permits import EVERY_GROUP, Reader, Role


def role_in_words(reader: Reader) -> str:
    """What somebody is here, and for whom: coach of Juniors, guardian of ADA."""
    if reader.role is Role.COACH:
        return (
            "coach of every group" if EVERY_GROUP in reader.groups else f"coach of {', '.join(sorted(reader.groups))}"
        )
    whom = ", ".join(sorted(reader.players))
    return {Role.PLAYER: f"player {whom}", Role.GUARDIAN: f"guardian of {whom}"}.get(reader.role, str(reader.role))
