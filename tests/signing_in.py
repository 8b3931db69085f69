"""People of a club who have come in: as the door itself lets them in, without its pages."""

from collections.abc import Collection

from dashboard.door.settings import read_door
from models.permits import Role
from sql.club import accounts, web_sessions
from sql.club.file import club_file
from sql.club.web_sessions import WAY_INVITATION
from sql.folder import DataFolder

PASSWORD = "correct horse battery"
"""Of whoever has one in the tests."""


def token_of(
    folder: DataFolder, name: str, role: Role, *, players: Collection[str] = (), groups: Collection[str] = ()
) -> str:
    """The token of a new session of this person; the account is made where it is not there yet."""
    with club_file(folder) as connection:
        account = accounts.by_name(connection, name)
        number = account.account if account else accounts.add(connection, name, role, players=players, groups=groups)
        return web_sessions.begin(connection, number, WAY_INVITATION)


def user_of(
    folder: DataFolder,
    name: str = "M. Roe",
    role: Role = Role.COORDINATOR,
    *,
    players: Collection[str] = (),
    groups: Collection[str] = (),
) -> dict[str, str]:
    """What Streamlit is told of such a person, whom it then shows its pages."""
    token = token_of(folder, name, role, players=players, groups=groups)
    with club_file(folder) as connection:
        signed_in = web_sessions.by_token(connection, token)
    assert signed_in is not None
    return {"sub": str(signed_in.reader.account), "sid": str(signed_in.session)}


def cookie_of(
    folder: DataFolder,
    url: str,
    name: str = "M. Roe",
    role: Role = Role.COORDINATOR,
    *,
    players: Collection[str] = (),
    groups: Collection[str] = (),
) -> dict[str, str]:
    """The cookie of such a person, as a browser driven by a test keeps it."""
    token = token_of(folder, name, role, players=players, groups=groups)
    return {"name": read_door(folder).cookie_name, "value": token, "url": url}
