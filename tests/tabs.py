"""People who look at the screens without a browser: the server runs a page's script for a tab of theirs as for any."""

from collections.abc import Collection, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

import httpx2
from streamlit.proto.Alert_pb2 import Alert
from streamlit.proto.BackMsg_pb2 import BackMsg
from streamlit.proto.ClientState_pb2 import ClientState
from streamlit.proto.Element_pb2 import Element
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg
from websockets.sync.client import ClientConnection, connect

from dashboard.door.screens import SCREENS
from dashboard.door.settings import read_door
from models.permits import Role
from sql.club import accounts
from sql.club.file import club_file
from sql.folder import DataFolder
from tests.signing_in import token_of

PATIENCE_S = 120

PAGES = {role: tuple(screen.view for screen in SCREENS if role in screen.roles) for role in Role}
"""The pages that are open to each kind of person, the first of them first."""

CHOOSING = (Role.COORDINATOR, Role.COACH)
"""Those who choose a player on the pages of one."""


@dataclass
class Drawn:
    """A page as it was drawn: its title, all that it says, and what went wrong; the pages that the menu offers."""

    title: str = ""
    texts: list[str] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)
    menu: tuple[str, ...] = ()
    sent: str = ""
    """Whatever reached the browser, figures and drawings too."""

    def take(self, element: Element) -> None:
        """One more element of the page."""
        kind = element.WhichOneof("type")
        body = str(getattr(getattr(element, str(kind)), "body", ""))
        self.texts.append(body)
        if kind == "heading" and not self.title:
            self.title = body
        if kind == "exception":
            self.faults.append(f"{element.exception.type}: {element.exception.message}")
        if kind == "alert" and element.alert.format == Alert.ERROR:
            self.faults.append(body)


@dataclass(frozen=True)
class Visitor:
    """Somebody who is signed in, with what their browser would keep."""

    url: str
    account: int
    cookie: dict[str, str]

    @contextmanager
    def tab(self) -> Iterator["Tab"]:
        """A tab that stays open."""
        told = {"Cookie": "; ".join(f"{name}={value}" for name, value in self.cookie.items())}
        stream = f"{self.url.replace('http', 'ws', 1)}/_stcore/stream"
        with connect(
            stream,
            origin=self.url,  # type: ignore[arg-type]
            subprotocols=["streamlit"],  # type: ignore[list-item]
            additional_headers=told,
            proxy=None,
            max_size=None,
            open_timeout=PATIENCE_S,
        ) as connection:
            yield Tab(connection)

    def draw(self, page: str, query: str = "") -> Drawn:
        """Open a page in a tab of its own, and close it once it is drawn."""
        with self.tab() as tab:
            return tab.go(page, query)

    def get(self, path: str) -> httpx2.Response:
        """Ask for an address, without a page's script."""
        return self._ask("GET", path)

    def post(self, path: str, texts: Any) -> httpx2.Response:
        """Send something, as a page of ours would."""
        return self._ask("POST", path, json=texts)

    def _ask(self, method: str, path: str, **more: Any) -> httpx2.Response:
        with httpx2.Client(
            base_url=self.url, cookies=self.cookie, headers={"Origin": self.url}, trust_env=False, timeout=PATIENCE_S
        ) as browser:
            return browser.request(method, path, **more)


@dataclass(frozen=True)
class Tab:
    """An open tab."""

    connection: ClientConnection

    def go(self, page: str, query: str = "") -> Drawn:
        """Let a page be drawn, to its end; where one page leads on to another, that is drawn too."""
        asked = BackMsg(rerun_script=ClientState(page_name=page, query_string=query))
        self.connection.send(asked.SerializeToString())
        drawn = Drawn()
        while True:
            received = bytes(self.connection.recv(timeout=PATIENCE_S))
            drawn.sent += received.decode("utf-8", errors="replace")
            told = ForwardMsg.FromString(received)
            kind = told.WhichOneof("type")
            if kind == "navigation":
                drawn.menu = tuple(page.page_name for page in told.navigation.app_pages if not page.is_hidden)
            if kind == "delta" and told.delta.WhichOneof("type") == "new_element":
                drawn.take(told.delta.new_element)
            if kind == "script_finished" and told.script_finished != ForwardMsg.FINISHED_EARLY_FOR_RERUN:
                if told.script_finished == ForwardMsg.FINISHED_WITH_COMPILE_ERROR:
                    drawn.faults.append(f"{page}: its script could not be read")
                return drawn


def visitor(
    folder: DataFolder,
    url: str,
    name: str,
    role: Role,
    *,
    players: Collection[str] = (),
    groups: Collection[str] = (),
) -> Visitor:
    """Somebody who has just come in; the account is made where it is not there yet."""
    token = token_of(folder, name, role, players=players, groups=groups)
    with club_file(folder) as connection:
        account = accounts.by_name(connection, name)
    assert account is not None
    return Visitor(url, account.account, {read_door(folder).cookie_name: token})
