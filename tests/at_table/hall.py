"""A hall with bad Wi-Fi: a server that can be killed, a network that can be cut, and a phone with a thumb."""

import contextlib
import select
import socket
import struct
import threading
import time
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path

from playwright.sync_api import Browser, BrowserContext, Locator, Page

from dashboard.serving import free_port
from sql.folder import DataFolder
from tests.at_table.signed_in import cookie
from tests.door.served import screens

OPEN, CUT, STALLED, DEAF = "open", "cut", "stalled", "deaf"
"""Deaf: what the phone sends arrives, and what the server answers does not."""

QUICK = """
document.addEventListener("readystatechange", () => {
    if (document.readyState === "interactive") Object.assign(document.body.dataset, { everyMs: 100, patienceMs: 700 });
});
"""
"""Runs before the page's own scripts: the page then sends more often, and waits less, than it does in a hall."""


def until(holds: Callable[[], bool], what: str, patience_s: float = 90) -> None:
    """Wait until something holds. Raises AssertionError where it does not come to hold."""
    deadline = time.monotonic() + patience_s
    while not holds():
        assert time.monotonic() < deadline, f"still not so after {patience_s} s: {what}"
        time.sleep(0.05)


class Server:
    """The screens, at an address that stays the same when they are served anew."""

    def __init__(self, folder: DataFolder, logs: Path) -> None:
        self.port = free_port("127.0.0.1")
        self._folder = folder
        self._logs = logs
        self._served = ExitStack()
        self._starts = 0
        self.start()

    def start(self) -> None:
        """Start, and wait until it answers."""
        self._starts += 1
        self._served.enter_context(screens(self._folder, self._logs / f"server-{self._starts}.log", self.port))

    def kill(self) -> None:
        """Kill it as a power cut would."""
        self._served.close()


class Network:
    """A TCP proxy before the server that can be cut, and can stall without a word."""

    def __init__(self, to_port: int) -> None:
        self.mode = OPEN
        self._to_port = to_port
        self._pairs: list[tuple[socket.socket, socket.socket]] = []
        self._listener = socket.create_server(("127.0.0.1", 0))
        self.url = f"http://127.0.0.1:{self._listener.getsockname()[1]}"
        threading.Thread(target=self._listen, daemon=True).start()

    def turn(self, mode: str) -> None:
        """Change the weather. A cut ends every connection that there is."""
        self.mode = mode
        if mode == CUT:
            for pair in self._pairs:
                _reset(*pair)
            self._pairs.clear()

    def _listen(self) -> None:
        while True:
            phone, _ = self._listener.accept()
            try:
                if self.mode == CUT:
                    raise ConnectionError
                server = socket.create_connection(("127.0.0.1", self._to_port), timeout=5)
            except OSError:
                _reset(phone)
                continue
            self._pairs.append((phone, server))
            threading.Thread(target=self._carry, args=(phone, server, (STALLED,)), daemon=True).start()
            threading.Thread(target=self._carry, args=(server, phone, (STALLED, DEAF)), daemon=True).start()

    def _carry(self, source: socket.socket, target: socket.socket, held_in: tuple[str, ...]) -> None:
        with contextlib.suppress(OSError, ValueError):
            while True:
                if self.mode in held_in or not select.select([source], [], [], 0.05)[0]:
                    time.sleep(0.005)
                    continue
                data = source.recv(65536)
                if not data:
                    break
                while self.mode in held_in:
                    time.sleep(0.005)
                target.sendall(data)
        with contextlib.suppress(OSError):
            target.shutdown(socket.SHUT_WR)


def _reset(*sockets: socket.socket) -> None:
    for one in sockets:
        with contextlib.suppress(OSError):
            one.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
            one.close()


def phone(chromium: Browser, folder: DataFolder, url: str, account: int, scheme: str = "light") -> BrowserContext:
    """A phone in the hand of somebody who is signed in."""
    context = chromium.new_context(
        viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True, color_scheme=scheme
    )
    name, value = cookie(folder, account)
    context.add_cookies([{"name": name, "value": value, "url": url}])
    context.add_init_script(QUICK)
    context.set_default_timeout(60_000)
    return context


def begin(page: Page, player: str) -> None:
    """Set a ball by hand and begin to count."""
    page.locator("#player").select_option(player)
    page.get_by_role("radio", name="Other balls, set by hand").tap()
    page.locator("[data-column=setup]").select_option("NC")
    page.get_by_role("radio", name="backspin", exact=True).tap()
    page.get_by_role("radio", name="short", exact=True).tap()
    page.get_by_role("button", name="Begin to count").tap()


class Thumb:
    """Touches the places of the screen where the zones of the table are, whatever may lie over them."""

    def __init__(self, page: Page) -> None:
        self._page = page
        page.locator("[data-outcome=good]").wait_for()
        boxes = {button.get_attribute("data-zone"): button.bounding_box() for button in self._zones()}
        self.places = {
            str(zone): (box["x"] + box["width"] / 2, box["y"] + box["height"] / 2) for zone, box in boxes.items() if box
        }

    def _zones(self) -> list[Locator]:
        return self._page.locator("[data-zone]").all()

    def tap(self, outcome: str) -> None:
        """One real touch."""
        self._page.touchscreen.tap(*self.places["left" if outcome == "wide" else outcome])
