"""Servers of their own for the tests of the door: the screens of a club, and a provider that vouches for people."""

import os
import shutil
import socket
import subprocess
import time
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import pytest

from dashboard.serving import free_port
from sql.folder import DataFolder
from tests.torture.children import started
from tests.torture.commands import halflong_in_full

ROOT = Path(__file__).parents[2]
PATIENCE_S = 120.0
_PORTS: list[int] = []


@contextmanager
def screens(folder: DataFolder, log: Path, port: int | None = None, **variables: str) -> Iterator[str]:
    """Serve a club; the address at which it answers."""
    port = port or _port_again()
    command = ("serve", "--data", str(folder.path), "--no-open", "--port", str(port))
    with started(_halflong, variables, command, said=log) as server:
        url = f"http://127.0.0.1:{port}"
        wait_until_answered(f"{url}/_stcore/health", server.is_alive, log)
        yield url


def _port_again() -> int:
    """A port that this process has used before, if it is free: to a browser the screens are those that it knows."""
    for port in _PORTS:
        with suppress(OSError), socket.create_server(("127.0.0.1", port)):
            return port
    _PORTS.append(free_port("127.0.0.1"))
    return _PORTS[-1]


def _halflong(variables: dict[str, str], command: tuple[str, ...]) -> None:
    os.environ.update(variables)
    halflong_in_full(*command)


@contextmanager
def provider(port: int, back: str, secret: str, log: Path) -> Iterator[str]:
    """A real OpenID Connect provider; its issuer."""
    script = Path(__file__).parent / "provider.mjs"
    with running([node_with("oidc-provider"), str(script), str(port), back, secret], log) as server:
        issuer = f"http://127.0.0.1:{port}"
        wait_until_answered(f"{issuer}/.well-known/openid-configuration", lambda: server.poll() is None, log)
        yield issuer


def node_with(package: str) -> str:
    """The program node, where it and an npm package are installed; else the test is skipped, or fails if required."""
    node = shutil.which("node")
    if node and (ROOT / "node_modules" / package).is_dir():
        return node
    told = f"no node or no npm package {package} here; .ci/run installs both"
    if os.environ.get("HALFLONG_BROWSER") == "required":
        pytest.fail(told)
    pytest.skip(told)


@contextmanager
def running(command: list[str], log: Path) -> Iterator["subprocess.Popen[bytes]"]:
    """A process for as long as it is needed."""
    with log.open("wb") as out:
        process = subprocess.Popen(command, stdout=out, stderr=subprocess.STDOUT, cwd=ROOT)
        try:
            yield process
        finally:
            process.terminate()
            try:
                process.wait(timeout=20)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait()


def wait_until_answered(url: str, is_running: Callable[[], bool], log: Path) -> None:
    """Wait until somebody answers at the address."""
    end = time.monotonic() + PATIENCE_S
    while time.monotonic() < end and is_running():
        try:
            with urllib.request.urlopen(url, timeout=5):  # noqa: S310 - an address of this machine
                return
        except OSError:
            time.sleep(0.1)
    pytest.fail(f"nobody answers at {url}:\n{log.read_text(encoding='utf-8', errors='replace')}")
