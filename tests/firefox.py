"""A second engine: Firefox as a person's browser, by the open protocol that it speaks itself (W3C WebDriver BiDi).

No driver stands between: what Playwright brings for Firefox is a build of its own, which no package registry has.
"""

import base64
import json
import shutil
import subprocess
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path
from typing import Any

from websockets.sync.client import ClientConnection, connect

PATIENCE_S = 120.0
KEYS = {"Tab": "\ue004", "Enter": "\ue007", "Escape": "\ue00c", "ArrowDown": "\ue015", "ArrowRight": "\ue014"}

PREFERENCES = """\
user_pref("app.update.enabled", false);
user_pref("browser.shell.checkDefaultBrowser", false);
user_pref("datareporting.policy.dataSubmissionEnabled", false);
user_pref("network.captive-portal-service.enabled", false);
user_pref("network.connectivity-service.enabled", false);
user_pref("network.dns.disabled", true);
user_pref("toolkit.telemetry.enabled", false);
user_pref("layout.css.prefers-color-scheme.content-override", %d);
"""
SCHEMES = {"dark": 0, "light": 1}


class NotInTime(AssertionError):
    """Something did not come to be on a page; the text names it."""


@dataclass
class Tab:
    """An open page."""

    connection: ClientConnection
    context: str = ""
    _numbers: Iterator[int] = field(default_factory=lambda: count(1))

    def ask(self, method: str, **parameters: Any) -> dict[str, Any]:
        """One command of the protocol, and its answer."""
        number = next(self._numbers)
        self.connection.send(json.dumps({"id": number, "method": method, "params": parameters}))
        while True:
            told = json.loads(self.connection.recv(timeout=PATIENCE_S))
            if told.get("id") == number:
                if told["type"] == "error":
                    raise AssertionError(f"{method}: {told['error']}: {told['message']}")
                return dict(told["result"])

    def size(self, width: int, height: int) -> None:
        """How large the page is, in CSS pixels."""
        self.ask("browsingContext.setViewport", context=self.context, viewport={"width": width, "height": height})

    def keep(self, cookie: Mapping[str, Any]) -> None:
        """Keep a cookie, given as Playwright takes it."""
        host = str(cookie["url"]).removeprefix("http://").partition(":")[0]
        value = {"type": "string", "value": cookie["value"]}
        self.ask("storage.setCookie", cookie={"name": cookie["name"], "value": value, "domain": host, "path": "/"})

    def go(self, url: str) -> None:
        """Open an address and wait for its first drawing."""
        self.ask("browsingContext.navigate", context=self.context, url=url, wait="complete")

    def told(self, script: str) -> Any:
        """What an expression comes to: a text, a number, a truth."""
        answer = self.ask("script.evaluate", expression=script, target={"context": self.context}, awaitPromise=True)
        if answer["type"] == "exception":
            raise AssertionError(answer["exceptionDetails"]["text"])
        return answer["result"].get("value")

    def wait_until(self, script: str) -> Any:
        """Wait until an expression is true, and give it. Raises NotInTime."""
        until = time.monotonic() + PATIENCE_S
        while time.monotonic() < until:
            if found := self.told(script):
                return found
            time.sleep(0.2)
        raise NotInTime(f"not in {PATIENCE_S:.0f} s: {script}")

    def click(self, selector: str) -> None:
        """Click into the middle of an element, as a hand does."""
        at = f"document.querySelector({json.dumps(selector)})"
        self.wait_until(f"!!{at}")
        place = json.loads(
            self.told(
                f"(() => {{ const e = {at}; e.scrollIntoView({{block: 'center'}}); const b = e.getBoundingClientRect();"
                " return JSON.stringify([b.x + b.width / 2, b.y + b.height / 2].map(Math.round)); })()"
            )
        )
        pressed = [
            {"type": "pointerMove", "x": place[0], "y": place[1]},
            {"type": "pointerDown", "button": 0},
            {"type": "pointerUp", "button": 0},
        ]
        self.ask(
            "input.performActions",
            context=self.context,
            actions=[{"type": "pointer", "id": "hand", "actions": pressed}],
        )

    def type(self, *keys: str) -> None:
        """Press keys one after the other, each by its name or its sign."""
        pressed = [{"type": kind, "value": KEYS.get(key, key)} for key in keys for kind in ("keyDown", "keyUp")]
        self.ask(
            "input.performActions", context=self.context, actions=[{"type": "key", "id": "keys", "actions": pressed}]
        )

    def picture(self, file: Path) -> None:
        """Save what is in sight."""
        answer = self.ask("browsingContext.captureScreenshot", context=self.context)
        file.write_bytes(base64.b64decode(answer["data"]))


@contextmanager
def firefox(place: Path, scheme: str = "light") -> Iterator[Tab]:
    """A Firefox of its own with one tab; its profile lies in `place`. Raises FileNotFoundError without a Firefox."""
    program = shutil.which("firefox-esr") or shutil.which("firefox")
    if program is None:
        raise FileNotFoundError("firefox")
    profile = place / "profile"
    profile.mkdir(parents=True)
    (profile / "user.js").write_text(PREFERENCES % SCHEMES[scheme], encoding="utf-8")
    log = place / "firefox.log"
    command = [program, "--headless", "--no-remote", "--profile", str(profile), "--remote-debugging-port", "0"]
    with log.open("w") as said, subprocess.Popen(command, stdout=said, stderr=said) as process:
        try:
            with connect(f"{_address(log, process)}/session", proxy=None, max_size=None) as connection:
                tab = Tab(connection)
                tab.ask("session.new", capabilities={})
                tab.context = tab.ask("browsingContext.getTree")["contexts"][0]["context"]
                yield tab
        finally:
            process.terminate()


def _address(log: Path, process: subprocess.Popen[bytes]) -> str:
    """Where the browser listens, as it says itself."""
    until = time.monotonic() + PATIENCE_S
    while time.monotonic() < until and process.poll() is None:
        for line in log.read_text(encoding="utf-8", errors="replace").splitlines():
            if "WebDriver BiDi listening on " in line:
                return line.rpartition(" ")[2]
        time.sleep(0.1)
    raise NotInTime(f"Firefox did not begin to listen; it said: {log.read_text(errors='replace')[-500:]}")
