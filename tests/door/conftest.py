"""A small club with one person of every kind, and its door without the screens behind it."""

import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from time import monotonic

import pytest
from argon2 import PasswordHasher
from argon2.profiles import CHEAPEST
from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import JSONResponse
from starlette.routing import Route, WebSocketRoute
from starlette.testclient import TestClient
from starlette.websockets import WebSocket

from dashboard.door import passwords
from dashboard.door.account_routes import AccountRoutes
from dashboard.door.guard import Guard
from dashboard.door.passkey_routes import PasskeyRoutes
from dashboard.door.routes import DoorRoutes
from dashboard.door.settings import Door, read_door
from dashboard.services.accounts import INVITATION_PATH
from ingest.loading import load
from models.permits import Role
from sql.club import accounts, invitations
from sql.club.file import club_file
from sql.folder import DataFolder
from tests.conftest import MadeOnce
from tests.dashboard.conftest import SMALL_CLUB, incoming
from tests.door.served import screens
from tests.people import add_people
from tests.signing_in import PASSWORD, token_of

HERE = "http://127.0.0.1:8501"


@pytest.fixture(scope="module", autouse=True)
def _passwords_that_are_kept_cheaply(request: pytest.FixtureRequest) -> Iterator[None]:
    """Of the hundreds of hashes that the door's tests ask for, only a module that says so looks at their strength."""
    with pytest.MonkeyPatch.context() as patch:
        if not getattr(request.module, "LOOKS_AT_HASHES", False):
            patch.setattr(passwords, "_HASHER", PasswordHasher.from_parameters(CHEAPEST))
            patch.setattr(passwords, "_nobodys", lambda: passwords.hashed("the password of nobody"))
        yield


@pytest.fixture
def folder(tmp_path: Path) -> DataFolder:
    """A club that has loaded nothing, with one person of every kind."""
    folder = DataFolder(tmp_path / "club")
    add_people(folder)
    return folder


@pytest.fixture(scope="session")
def loaded_club(made_once: MadeOnce) -> DataFolder:
    """The small club, loaded and published once, with its people; tests that change it work on copies."""
    folder = made_once("small", lambda folder: load(folder, incoming(SMALL_CLUB), "test", today=date(2025, 3, 12)))
    add_people(folder)
    return folder


@dataclass(frozen=True)
class Served:
    """A club that is served."""

    folder: DataFolder
    url: str


@pytest.fixture(scope="module")
def served(loaded_club: DataFolder, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A copy of the small club, and the address of its screens."""
    place = tmp_path_factory.mktemp("served")
    folder = DataFolder(Path(shutil.copytree(loaded_club.path, place / "club")))
    with screens(folder, place / "screens.log") as url:
        yield Served(folder, url)


@pytest.fixture
def club(loaded_club: DataFolder, tmp_path: Path) -> DataFolder:
    """A copy of the small club."""
    folder = DataFolder(tmp_path / "club")
    shutil.copytree(loaded_club.path, folder.path)
    return folder


def link_for(folder: DataFolder, name: str) -> str:
    """The path of a new invitation of somebody whose account is there."""
    with club_file(folder) as connection:
        account = accounts.by_name(connection, name)
        assert account is not None
        return INVITATION_PATH + invitations.invite(connection, account.account)


async def _seen(request: Request) -> JSONResponse:
    """Tells what of the request got through to the screens."""
    body = await request.body()
    told = {"path": request.url.path, "headers": dict(request.headers), "bytes": len(body)}
    return JSONResponse(told)


async def _stream(websocket: WebSocket) -> None:
    await websocket.accept()
    await websocket.send_json(dict(websocket.headers))
    told = await websocket.receive_bytes()
    await websocket.send_bytes(told)
    await websocket.close()


async def _broken(_request: Request) -> JSONResponse:
    raise RuntimeError("a fault of ours")


@pytest.fixture
def knock(tmp_path: Path) -> Callable[..., TestClient]:
    """A browser before the door of a club; behind it stand screens that tell what they were asked."""
    page = tmp_path / "index.html"
    page.write_text("<script>one()</script>", encoding="utf-8")

    def before(folder: DataFolder, *, door: Door | None = None, url: str = HERE) -> TestClient:
        door = door or read_door(folder)
        handlers = DoorRoutes(door)
        methods = ["GET", "POST", "PUT", "DELETE"]
        routes = [
            *handlers.routes(),
            *AccountRoutes(door, handlers).routes(),
            *PasskeyRoutes(door, handlers, monotonic).routes(),
            Route("/broken", _broken),
            Route("/{path:path}", _seen, methods=methods),
            WebSocketRoute("/{path:path}", _stream),
        ]
        app = Starlette(routes=routes, middleware=[Middleware(Guard, door, page)])
        return TestClient(app, base_url=url, follow_redirects=False, raise_server_exceptions=False)

    return before


def browsers_before(routes: list[Route], club: DataFolder, place: Path) -> Callable[[str | None], TestClient]:
    """Opens a browser of somebody, or of a stranger, before the real guard of these addresses."""
    page = place / "index.html"
    page.write_text("", encoding="utf-8")
    door = read_door(club)
    app = Starlette(routes=routes, middleware=[Middleware(Guard, door, page)])

    def opened(name: str | None) -> TestClient:
        cookies = {door.cookie_name: token_of(club, name, Role.PLAYER)} if name else {}
        return TestClient(app, base_url=HERE, cookies=cookies, follow_redirects=False)

    return opened


@pytest.fixture(scope="session")
def password_hash() -> str:
    """Made once: it is slow on purpose."""
    return passwords.hashed(PASSWORD)


@pytest.fixture
def club_with_password(folder: DataFolder, password_hash: str) -> DataFolder:
    """Everybody has the same password, for once."""
    with club_file(folder) as connection:
        for account in accounts.everyone(connection):
            accounts.keep_password_hash(connection, account.account, password_hash)
    return folder
