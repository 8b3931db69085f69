"""What is not open to somebody, asked of the screens as they are served: nothing of it reaches their browser."""

import httpx2
import pytest

from models.permits import Role, owner
from sql.club import audit_trail
from sql.club.audit_trail import Event
from sql.club.file import club_file
from sql.folder import DataFolder
from tests.door.conftest import Served
from tests.door.served import PATIENCE_S, ROOT
from tests.tabs import Visitor, visitor

FOR_WHO_TRAINS = (
    "needs",
    "board",
    "one_player?player=ADA",
    "one_player?player=BEN",
    "compare?player=ADA",
    "next_session?player=ADA",
    "hall",
    "setups",
    "write_block",
    "type_sheet",
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
        "Hall plan",
        "Next session",
        "Setups",
        "Places and feeders",
        "What is wanted",
        "Write a block",
        "Type a sheet",
        "Logged by players",
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


NOWHERE = (
    "/nothing",
    "/club_week/nothing",
    "/look/nothing",
    "/account/nothing",
    "/table/nothing",
    "/app/nothing",
    "/api/nothing",
    "/static/nothing.js",
    "/static/index.html",
    "/_stcore/nothing",
    "/_stcore/metrics",
    "/_stcore/script-health-check",
    "/_stcore/upload_file/nothing/nothing",
    "/component/nothing/index.html",
    "/media/nothing",
    "/my_training/_stcore/health",
    "/static/%2e%2e/%2e%2e/app.py",
    "/%00",
    "/index.html",
)
"""Addresses at which nobody finds anything."""

FRAMEWORKS_OWN = ("/manifest.json", "/_stcore/host-config", "/favicon.png", "/my_training", "/")
"""What only who is signed in is given."""

OF_THIS_MACHINE = (str(ROOT), "site-packages", ".venv", "Traceback", "/tmp/")  # noqa: S108 - a word that is looked for


@pytest.mark.parametrize("is_known", [False, True])
def test_at_no_address_is_there_a_page_of_the_framework_or_a_path_of_this_machine(
    served: Served, is_known: bool
) -> None:
    child = visitor(served.folder, served.url, "Ada Lind", Role.PLAYER, players=["ADA"])
    with httpx2.Client(
        base_url=served.url, cookies=child.cookie if is_known else {}, trust_env=False, timeout=PATIENCE_S
    ) as browser:
        answers = {(how, at): browser.request(how, at) for at in NOWHERE for how in ("GET", "HEAD", "POST", "OPTIONS")}
        frameworks = {at: browser.get(at) for at in FRAMEWORKS_OWN}

    for asked, answer in answers.items():
        assert not [word for word in OF_THIS_MACHINE if word in answer.text + str(answer.headers)], asked
        assert "streamlit" not in answer.text.lower(), asked
        assert answer.status_code in ((400, 403, 404) if is_known else (303, 401, 403, 404)), asked
    assert {answer.status_code for answer in frameworks.values()} <= ({200} if is_known else {303, 401})
    assert not [at for at, answer in frameworks.items() for word in OF_THIS_MACHINE if word in answer.text]


def test_whoever_mistypes_an_address_is_led_to_the_first_page(served: Served) -> None:
    answer = visitor(served.folder, served.url, "Ada Lind", Role.PLAYER, players=["ADA"]).get("/my_trainign")

    assert answer.status_code == 404
    assert "There is no such page" in answer.text
    assert 'href="/"' in answer.text
