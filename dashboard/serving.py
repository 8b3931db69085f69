"""The one process that serves the screens: its address, its configuration, its start."""

import gc
import ipaddress
import json
import os
import socket
import sys
import threading
import time
import urllib.request
import webbrowser
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import Any

from starlette.routing import Route

from dashboard.at_table.routes import routes as table_routes
from dashboard.door.account_routes import AccountRoutes
from dashboard.door.checks import PAGE_ADDRESSES
from dashboard.door.guard import TRUSTED_HEADERS, UPLOAD_LIMIT_MB, Guard
from dashboard.door.listening import Patience, listen
from dashboard.door.nowhere import nothing_here
from dashboard.door.passkey_routes import PasskeyRoutes
from dashboard.door.person import person_routes
from dashboard.door.routes import DoorRoutes
from dashboard.door.screens_page import screen_routes, screens_page
from dashboard.door.settings import Door, read_door
from dashboard.look.dressing import Dressed, look_routes
from dashboard.look.tokens import DARK, LIGHT
from dashboard.paper.routes import paper_routes
from dashboard.services.served_folder import NotServed, served_once
from sql.build import build, is_current
from sql.folder import DataFolder
from sql.warehouse import held

MESSAGE_LIMIT_MB = 4
"""Of one message from a browser: what stands in the fields of a page."""

FOLDER_VARIABLE = "HALFLONG_SERVED_DATA"
"""Tells the pages, which the server runs as scripts, whose data they show."""

CONFIG: dict[str, Any] = {
    "server.headless": True,
    "server.fileWatcherType": "none",
    "server.maxUploadSize": UPLOAD_LIMIT_MB,
    "server.trustedUserHeaders": json.dumps(TRUSTED_HEADERS),
    "runner.magicEnabled": False,
    # A page that is asked for while it runs begins anew in the same thread. Else each message would start another.
    "runner.fastReruns": False,
    # Python looks for garbage by itself. To look through everything after every page was four fifths of a page's time.
    "runner.postScriptGC": False,
    "browser.gatherUsageStats": False,
    "client.toolbarMode": "minimal",
    "client.showErrorDetails": "none",
    "client.showErrorLinks": False,
    "theme.font": "'Sofia Sans', sans-serif",
    "theme.headingFont": "'Sofia Sans', sans-serif",
    "theme.headingFontSizes": ["30px", "17px", "17px"],
    "theme.headingFontWeights": [750, 700, 700],
    "theme.baseRadius": "8px",
    **{
        f"theme.{scheme}.{streamlits}": colours[ours]
        for scheme, colours in (("light", LIGHT), ("dark", DARK))
        for streamlits, ours in (
            ("primaryColor", "met"),
            ("backgroundColor", "page"),
            ("secondaryBackgroundColor", "sunk"),
            ("textColor", "ink"),
            ("borderColor", "line"),
            ("linkColor", "met"),
        )
    },
    **{
        f"theme.{scheme}.chartCategoricalColors": [colours[name] for name in ("met", "stale", "edge")]
        for scheme, colours in (("light", LIGHT), ("dark", DARK))
    },
}

IN_THE_OPEN = "--unencrypted-on-this-network"
"""The option that says in so many words what it does."""


@dataclass(frozen=True)
class Place:
    """Where the screens are served."""

    address: str
    port: int

    @property
    def url(self) -> str:
        """As a browser on this machine would call it."""
        shown = {"0.0.0.0": "127.0.0.1", "::": "::1"}.get(self.address, self.address)  # noqa: S104 - a name, not a binding
        return f"http://[{shown}]:{self.port}" if ":" in shown else f"http://{shown}:{self.port}"


def serve(
    folder: DataFolder,
    place: Place,
    *,
    opens_browser: bool = True,
    greet: Callable[[str], str],
    say: Callable[[str], None],
) -> None:
    """Serve the screens until stopped. Raises NotServed where the port is in use, or the folder is served already.

    `greet` is told the address, tells who may come in, and gives the page to begin with.
    """
    require_free(place.address, place.port)
    door = read_door(folder, own_names(place.address))
    url = door.settings.public_url or place.url
    with served_once(folder, url):
        with held(folder, say):
            if not is_current(folder):
                build(folder)
        os.environ[FOLDER_VARIABLE] = str(folder.path.resolve())
        if not door.is_secure:  # Nobody stands before this server: what claims to come through a proxy is not believed.
            os.environ["FORWARDED_ALLOW_IPS"] = ""
        first_page = greet(url)
        say(f"Halflong is at {url} (stop with Ctrl-C)")
        if opens_browser:
            threading.Thread(target=_open_when_ready, args=(place, url + first_page), daemon=True).start()
        _configure(CONFIG | {"server.address": place.address, "server.port": place.port} | _names(door))
        application = asgi_app(door)
        _ready_the_interpreter()
        listen(application, place.address, place.port, _patience(door), MESSAGE_LIMIT_MB * 2**20)


def _configure(options: dict[str, Any]) -> None:
    """Tell Streamlit its options, as its own command line would."""
    from streamlit.web import bootstrap  # noqa: PLC0415 - a second of imports that no other command should pay for

    bootstrap.load_config_options(options)


SWITCHES_EVERY_S = 0.001
"""So often a thread that works gives way: the one that speaks to the browsers waits for each in turn."""


def _ready_the_interpreter() -> None:
    sys.setswitchinterval(SWITCHES_EVERY_S)
    gc.collect()
    gc.freeze()  # What was loaded before the first page stays: Python need not go through it again for garbage.


def _patience(door: Door) -> Patience:
    """Behind a proxy all connections come from one address: how many anybody may have is the proxy's to say."""
    return Patience(most_of_one=None) if door.settings.public_url else Patience()


def place_for(address: str, port: int | None, *, in_the_open: bool = False) -> Place:
    """Where to serve: a free port if none is given. Raises NotServed for an address beyond this machine without TLS."""
    if not in_the_open:
        require_loopback(address)
    return Place(address, port if port is not None else free_port(address))


def asgi_app(door: Door) -> Any:
    """The screens as one ASGI application: Streamlit's pages, our own routes, and the guard before both."""
    import streamlit as st  # noqa: PLC0415 - a second of imports that no other command should pay for
    from starlette.middleware import Middleware  # noqa: PLC0415

    for drawn_with in ("pandas", "dashboard.charts.club", "dashboard.charts.player"):
        import_module(drawn_with)  # Two first pages at once would find half of it.
    page = Path(st.__file__).parent / "static" / "index.html"
    handlers = DoorRoutes(door)
    routes = [
        *handlers.routes(),
        *AccountRoutes(door, handlers).routes(),
        *PasskeyRoutes(door, handlers, time.monotonic).routes(),
        *screen_routes(page),
        *_provider_routes(door, handlers),
        *table_routes(door.folder),
        *person_routes(door.folder),
        *paper_routes(door.folder),
        *look_routes(door.folder),
    ]
    dressed = Middleware(Dressed, door.folder, screens_page(page), PAGE_ADDRESSES, partial(nothing_here, door.folder))
    middleware = [Middleware(Guard, door, page), dressed]
    return st.App(Path(__file__).parent / "app.py", routes=routes, middleware=middleware)


def _provider_routes(door: Door, handlers: DoorRoutes) -> list[Route]:
    if door.settings.provider is None:
        return []
    from dashboard.door.provider import provider_routes  # noqa: PLC0415 - few clubs have one, and it is heavy

    return provider_routes(door.settings.provider, door, handlers)


def _names(door: Door) -> dict[str, Any]:
    """What Streamlit itself should take for its own origin behind a proxy."""
    public = door.settings.public_url
    return {"server.corsAllowedOrigins": [public]} if public else {}


def require_loopback(address: str) -> None:
    """Raises NotServed for an address that others can reach."""
    if not _is_loopback(address):
        raise NotServed(
            f"saw the address {address}, expected one of this machine only (127.0.0.1, ::1 or localhost): without TLS "
            "everybody on the network could read along, passwords too, and players may be minors. Put a TLS proxy on "
            "this machine, set public_url in club.toml, section [door], and leave --address away; see the README. "
            f"If this network is yours alone, say so with {IN_THE_OPEN}."
        )


def _is_loopback(address: str) -> bool:
    try:
        return address == "localhost" or ipaddress.ip_address(address).is_loopback
    except ValueError:
        return False


def own_names(address: str) -> tuple[str, ...]:
    """Names of this machine by which others may call it, where it listens to others."""
    return () if _is_loopback(address) else (socket.gethostname(), f"{socket.gethostname()}.local", address)


def free_port(address: str) -> int:
    """A port of this machine that nobody listens on."""
    with socket.create_server((address, 0), family=_family(address)) as probe:
        return int(probe.getsockname()[1])


def require_free(address: str, port: int) -> None:
    """Raises NotServed where somebody listens on the port already."""
    try:
        socket.create_server((address, port), family=_family(address)).close()
    except OSError as error:
        raise NotServed(f"port {port} is in use or not allowed ({error.strerror}). Give another --port.") from error


def _family(address: str) -> socket.AddressFamily:
    return socket.AF_INET6 if ":" in address else socket.AF_INET


def _open_when_ready(place: Place, page: str) -> None:
    for _ in range(100):
        try:
            with urllib.request.urlopen(f"{place.url}/_stcore/health", timeout=1):  # noqa: S310 - our own http address
                break
        except OSError:
            time.sleep(0.2)
    webbrowser.open(page)
