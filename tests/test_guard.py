"""The guard bites: no test reaches another machine, and none a club that is not its own."""

import os
import socket
import tempfile
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from sql.club.file import club_file
from sql.folder import DataFolder
from sql.warehouse import ask, held
from tests import guard
from tests.guard import NotAllowed


@pytest.fixture(autouse=True)
def _caught_on_purpose() -> Iterator[None]:
    """What is tried here is meant."""
    yield
    guard.caught()


@pytest.fixture
def foreign() -> Iterator[DataFolder]:
    """A club's folder that was not made for tests."""
    with tempfile.TemporaryDirectory() as place:
        folder = DataFolder(Path(place))
        yield folder


# Addresses for examples (RFC 5737, RFC 3849). Over UDP, to connect sends nothing.
@pytest.mark.parametrize(
    "asks",
    [
        lambda: socket.socket(socket.AF_INET, socket.SOCK_DGRAM).connect(("192.0.2.1", 9)),
        lambda: socket.socket(socket.AF_INET6, socket.SOCK_DGRAM).connect(("2001:db8::1", 9)),
        lambda: socket.getaddrinfo("club.example", 443),
        lambda: socket.create_server(("0.0.0.0", 0)),  # noqa: S104 - must not be done
        lambda: socket.create_server(("", 0)),
    ],
    ids=["IPv4", "IPv6", "a name", "served to all", "served to whoever asks"],
)
def test_nobody_beyond_this_machine_is_asked_or_served(asks: Callable[[], object]) -> None:
    with pytest.raises(NotAllowed, match="tests turn to loopback only"):
        asks()


def test_loopback_is_open() -> None:
    with socket.create_server(("127.0.0.1", 0)) as server, socket.create_connection(server.getsockname()):
        assert guard.caught() == []


def hold(folder: DataFolder) -> None:
    with held(folder):
        pass


def open_club_file(folder: DataFolder) -> None:
    with club_file(folder):
        pass


@pytest.mark.parametrize("enter", [hold, open_club_file, lambda folder: ask(folder, "select 1")])
def test_no_way_leads_into_a_club_that_was_not_made_for_tests(
    foreign: DataFolder, enter: Callable[[DataFolder], object]
) -> None:
    with pytest.raises(NotAllowed, match="the clubs of tests lie in folders of their own"):
        enter(foreign)

    assert list(foreign.path.iterdir()) == []


def test_what_is_tried_in_a_thread_is_told_too() -> None:
    def ask_outside() -> None:
        with pytest.raises(NotAllowed):
            socket.getaddrinfo("club.example", 443)

    thread = threading.Thread(target=ask_outside)
    thread.start()
    thread.join()

    assert guard.caught() == ["socket.getaddrinfo club.example: tests turn to loopback only"]
    assert guard.caught() == []


def test_a_club_of_the_person_who_runs_the_tests_is_not_known_to_them(monkeypatch: pytest.MonkeyPatch) -> None:
    assert guard.CLUB_VARIABLE not in os.environ
    monkeypatch.setenv(guard.CLUB_VARIABLE, "/somewhere")

    guard.watch()

    assert guard.CLUB_VARIABLE not in os.environ
