"""The pages on paper, asked for as every kind of person for every player: given only to whom they are open."""

from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from urllib.parse import quote

import pytest
from pypdf import PdfReader
from starlette.testclient import TestClient

from dashboard.paper.addresses import GROUP_SHEET, SESSION_SHEET, club_week_path, plan_path, player_path
from dashboard.paper.routes import paper_routes
from models.permits import owner
from models.shapes import Code
from sql.club import audit_trail
from sql.club.audit_trail import Entry, Event
from sql.club.file import club_file
from sql.folder import DataFolder
from tests.door.conftest import browsers_before
from tests.door.test_guard import must_be_guarded
from tests.door.test_questions_asked_by_everybody import NAMES, READABLE, WEEK
from tests.people import PEOPLE

Browser = Callable[[str | None], TestClient]

ACTIVE = set(NAMES) - {"DAN"}
EVERYBODY = [name for name, *_ in PEOPLE]


@pytest.fixture
def browser(club: DataFolder, tmp_path: Path) -> Browser:
    """A browser of somebody, or of a stranger, before the real guard."""
    return browsers_before(paper_routes(club), club, tmp_path)


def noted(folder: DataFolder, event: Event) -> list[Entry]:
    with club_file(folder) as connection:
        return audit_trail.entries(connection, owner("test"), 1000, event)


def named_on(pdf: bytes) -> set[str]:
    """The players whose name stands on a page."""
    said = " ".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages)
    return {code for code, name in NAMES.items() if name in " ".join(said.split())}


@pytest.mark.parametrize("name", EVERYBODY)
def test_each_gets_the_pages_of_those_whom_they_may_read_and_of_nobody_else(
    club: DataFolder, browser: Browser, name: str
) -> None:
    """Dan no longer plays: who may read him is told that there is no page, anybody else what is told of all."""
    before = {event: len(noted(club, event)) for event in (Event.EXPORT, Event.REFUSAL)}
    answers = {player: browser(name).get(player_path(player)) for player in NAMES}

    given = {player: answer for player, answer in answers.items() if answer.status_code == 200}
    assert set(given) == READABLE[name] & ACTIVE
    for player, answer in given.items():
        assert named_on(answer.content) == {player}
        assert answer.headers["content-type"] == "application/pdf"
        assert answer.headers["cache-control"] == "private, no-store"
        assert answer.headers["content-disposition"] == f"attachment; filename*=UTF-8''{player}.pdf"
        must_be_guarded(answer.headers)
    refused = set(NAMES) - READABLE[name]
    assert {answers[player].status_code for player in refused} <= {403}
    assert not [
        one for answer in answers.values() if answer not in given.values() for one in NAMES if one in answer.text
    ]
    for event, players in ((Event.EXPORT, set(given)), (Event.REFUSAL, refused)):
        new = noted(club, event)[: len(players)]
        assert {(entry.name, entry.player) for entry in new} == {(name, player) for player in players}
        assert len(noted(club, event)) == before[event] + len(players)


@pytest.mark.parametrize("name", EVERYBODY)
def test_the_clubs_week_on_paper_is_the_coordinators(club: DataFolder, browser: Browser, name: str) -> None:
    before = len(noted(club, Event.REFUSAL))
    answer = browser(name).get(club_week_path(WEEK))

    if name == "Nora Quill":
        assert answer.status_code == 200
        assert named_on(answer.content) == {"ADA", "BEN", "CLEO"}
        assert noted(club, Event.EXPORT)[0].about == f"the club's week from {WEEK} on paper"
    else:
        assert answer.status_code == 403
        assert "are not open to you" in answer.text
        assert noted(club, Event.REFUSAL)[0].name == name
        assert len(noted(club, Event.REFUSAL)) == before + 1


@pytest.mark.parametrize("name", EVERYBODY)
def test_an_empty_session_sheet_is_for_everybody_who_is_signed_in(browser: Browser, name: str) -> None:
    for path in (SESSION_SHEET, GROUP_SHEET):
        answer = browser(name).get(path)

        assert answer.status_code == 200
        assert named_on(answer.content) == set()


@pytest.mark.parametrize("name", EVERYBODY)
def test_a_plan_on_paper_is_for_those_who_may_read_its_player(club: DataFolder, browser: Browser, name: str) -> None:
    """No plan is kept here: whoever may read the player is told so, anybody else nothing of it."""
    answers = {player: browser(name).get(plan_path(player)) for player in NAMES}

    told = {player for player, answer in answers.items() if "No plan is kept" in answer.text}
    assert told == READABLE[name]
    assert {answers[player].status_code for player in READABLE[name]} <= {404}
    assert {answers[player].status_code for player in set(NAMES) - READABLE[name]} <= {403}


def test_a_paper_that_there_is_not_is_refused(browser: Browser) -> None:
    answer = browser("Nora Quill").get(plan_path("ADA", "napkin"))

    assert answer.status_code == 404
    assert "expected one of a4, letter" in answer.text


@pytest.mark.parametrize("path", [player_path("ADA"), club_week_path(WEEK), SESSION_SHEET])
def test_a_stranger_is_led_to_the_sign_in(browser: Browser, path: str) -> None:
    answer = browser(None).get(path)

    assert (answer.status_code, answer.headers["location"]) == (303, f"/account/sign-in?next={quote(path, safe='')}")


@pytest.mark.parametrize("code", ["NOBODY", "ada", "*", "A/B", "../club", "ADA' or 1=1 --", "x" * 300])
def test_a_code_that_nobody_has_is_refused_like_somebody_elses(club: DataFolder, browser: Browser, code: str) -> None:
    """Only who may read everybody learns that it is nobody's."""
    path = player_path(code)

    assert browser("Nora Quill").get(path).status_code == 404
    assert browser("Ada Lind").get(path).status_code == 403
    assert browser("M. Roe").get(path).text == browser("M. Roe").get(player_path("CLEO")).text
    assert max(len(entry.player or "") for entry in noted(club, Event.REFUSAL)) <= Code.longest + 1


@pytest.mark.parametrize("monday", ["2025-03-11", "2025-02-30", "week 11", "0001-01-01", "../../etc/passwd"])
def test_a_week_that_is_not_in_the_log_is_not_on_paper(browser: Browser, monday: str) -> None:
    assert browser("Nora Quill").get(f"/paper/club-week/{quote(monday, safe='')}.pdf").status_code == 404


def test_where_nothing_is_loaded_yet_that_is_told(club: DataFolder, browser: Browser) -> None:
    (club.published / "CURRENT").unlink()

    answer = browser("Nora Quill").get(SESSION_SHEET)

    assert answer.status_code == 404
    assert answer.text.startswith("nothing is published here yet. Load players"), "without where on the server"


def test_where_nothing_can_be_read_the_reason_is_told(club: DataFolder, browser: Browser) -> None:
    publication = club.publication_in_force()
    assert publication is not None
    publication.write_bytes(b"no longer a database")

    answer = browser("Ada Lind").get(player_path("ADA"))

    assert answer.status_code == 503
    assert publication.name in answer.text
