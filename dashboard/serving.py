"""The one process that serves the screens: its address, its configuration, its start."""

import ipaddress
import os
import socket
import threading
import time
import urllib.request
import webbrowser
from collections.abc import Callable
from pathlib import Path
from typing import Any

from sql.build import build, is_current
from sql.folder import DataFolder
from sql.warehouse import held

FOLDER_VARIABLE = "HALFLONG_SERVED_DATA"
"""Tells the pages, which the server runs as scripts, whose data they show."""

CONFIG: dict[str, Any] = {
    "server.headless": True,
    "server.fileWatcherType": "none",
    "server.maxUploadSize": 50,
    "browser.gatherUsageStats": False,
    "client.toolbarMode": "minimal",
    "client.showErrorDetails": "none",
    "client.showErrorLinks": False,
    "theme.light.primaryColor": "#1F5F8B",
    "theme.light.textColor": "#14181C",
    "theme.dark.primaryColor": "#3D84B8",
}


class NotServed(Exception):
    """The screens cannot be served as asked; the text says why."""


def serve(
    folder: DataFolder,
    *,
    address: str = "127.0.0.1",
    port: int | None = None,
    opens_browser: bool = True,
    say: Callable[[str], None],
) -> None:
    """Serve the screens until stopped. Raises NotServed for an address beyond this machine or a port in use."""
    require_loopback(address)
    port = port if port is not None else free_port(address)
    require_free(address, port)
    with held(folder, say):
        if not is_current(folder):
            build(folder)
    os.environ[FOLDER_VARIABLE] = str(folder.path.resolve())
    url = f"http://[{address}]:{port}" if ":" in address else f"http://{address}:{port}"
    say(f"Halflong is at {url} (stop with Ctrl-C)")
    if opens_browser:
        threading.Thread(target=_open_when_ready, args=(url,), daemon=True).start()
    asgi_app().run(config=CONFIG | {"server.address": address, "server.port": port})


def asgi_app() -> Any:
    """The screens as one ASGI application, so that routes and a guard can join."""
    import streamlit as st  # noqa: PLC0415 - a second of imports that no other command should pay for

    return st.App(Path(__file__).parent / "app.py")


def require_loopback(address: str) -> None:
    """Raises NotServed for an address that others can reach: there is no sign-in yet."""
    try:
        is_local = address == "localhost" or ipaddress.ip_address(address).is_loopback
    except ValueError:
        is_local = False
    if not is_local:
        raise NotServed(
            f"saw the address {address}, expected one of this machine only (127.0.0.1, ::1 or localhost): "
            "there is no sign-in yet, and players may be minors. Leave --address away."
        )


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


def _open_when_ready(url: str) -> None:
    for _ in range(100):
        try:
            with urllib.request.urlopen(f"{url}/_stcore/health", timeout=1):  # noqa: S310 - our own http address
                break
        except OSError:
            time.sleep(0.2)
    webbrowser.open(url)
