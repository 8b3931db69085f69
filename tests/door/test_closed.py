"""What is not open to somebody, asked of the screens as they are served: nothing of it reaches their browser."""

import pytest

from models.permits import Role, owner
from sql.club import audit_trail
from sql.club.audit_trail import Event
from sql.club.file import club_file
from sql.folder import DataFolder
from tests.door.conftest import Served
from tests.tabs import Visitor, visitor

FOR_WHO_TRAINS = (
    "needs",
    "board",
    "one_player?player=ADA",
    "one_player?player=BEN",
    "compare?player=ADA",
    "next_session?player=ADA",
    "setups",
    "write_block",
)
FOR_WHO_KEEPS_THE_LOGS = ("club_week", "bring_in", "batches", "people", "audit_trail")

CLOSED = {
    "Ada Lind": FOR_WHO_TRAINS + FOR_WHO_KEEPS_THE_LOGS,
    "Otto Orr": FOR_WHO_TRAINS + FOR_WHO_KEEPS_THE_LOGS,
    "M. Roe": FOR_WHO_KEEPS_THE_LOGS,
}
"""The pages that are not open to each."""

NOT_THEIRS = {
    "Ada Lind": ("my_training?player=BEN", "my_training?player=CLEO"),
    "Otto Orr": ("my_training?player=ADA", "my_training?player=CLEO"),
    "M. Roe": ("one_player?player=CLEO", "next_session?player=CLEO"),
}
"""Open pages, asked for somebody who is not theirs to see."""

UNSEEN = {
    "Ada Lind": ("Ben Orr", "Cléo Marsh", "Dan Voss"),
    "Otto Orr": ("Ada Lind", "Cléo Marsh", "Dan Voss"),
    "M. Roe": ("Cléo Marsh", "Dan Voss"),
}
"""Names that each must meet nowhere."""

OFFERED = {
    "Ada Lind": {"My training", "What is stored"},
    "Otto Orr": {"My training", "What is stored"},
    "M. Roe": {
        "Who needs you?",
        "Coverage board",
        "One player",
        "Compare",
        "Next session",
        "Setups",
        "Write a block",
        "What is stored",
    },
}
"""All that stands in the menu of each."""


@pytest.fixture(params=CLOSED)
def somebody(request: pytest.FixtureRequest, served: Served) -> tuple[str, Visitor]:
    """Each in turn, signed in; the account is there."""
    return request.param, visitor(served.folder, served.url, request.param, Role.PLAYER)


def test_pages_and_people_that_are_not_theirs_stay_closed(somebody: tuple[str, Visitor], served: Served) -> None:
    name, visitor = somebody
    refused = refusals_of(served.folder, name)
    for address, sentence in (
        *((address, "This page is not open to you.") for address in CLOSED[name]),
        *((address, "The data of this player are not open to you.") for address in NOT_THEIRS[name]),
    ):
        drawn = visitor.draw(*address.split("?"))
        assert any(sentence in texts for texts in drawn.texts), address
        assert not [other for other in UNSEEN[name] if other in drawn.sent], address

    assert refusals_of(served.folder, name) >= refused + len(CLOSED[name]) + len(NOT_THEIRS[name])


def test_the_menu_offers_what_is_open_and_the_first_page_names_nobody_else(somebody: tuple[str, Visitor]) -> None:
    name, visitor = somebody
    drawn = visitor.draw("")

    assert set(drawn.menu) == OFFERED[name]
    assert drawn.faults == []
    assert not [other for other in UNSEEN[name] if other in drawn.sent]


def test_what_is_open_does_name_those_whom_it_is_about(served: Served) -> None:
    """Else no name would be missed above."""
    drawn = visitor(served.folder, served.url, "Nora Quill", Role.COORDINATOR).draw("board")

    assert [name for name in ("Ada Lind", "Ben Orr", "Cléo Marsh") if name not in drawn.sent] == []


def refusals_of(folder: DataFolder, name: str) -> int:
    with club_file(folder) as connection:
        entries = audit_trail.entries(connection, owner("test"), 1000, Event.REFUSAL)
    return sum(entry.times for entry in entries if entry.name == name)
