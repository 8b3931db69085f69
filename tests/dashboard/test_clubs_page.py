"""The page Clubs: a body sees who sends logs and how varied training is; of few players it sees nothing."""

from datetime import date
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from dashboard.questions import owners_desk
from dashboard.services.accounts import invite
from dashboard.serving import FOLDER_VARIABLE
from models.permits import Role
from sql.club.accounts import AccountProblem
from sql.folder import DataFolder
from tests.dashboard.shown import html_of, opened, rows, words
from tests.signing_in import user_of
from tests.sql.federation.made_build import MadePlayers, publish

CLUBS = {"zinnia": "Zinnia Road", "alder": "Alder", "small": "Small & Few", "bell": "Bell"}

PLAYERS = (
    *(MadePlayers("alder", 2013, 6, 0.5), MadePlayers("alder", 2013, 6, 0.25), MadePlayers("alder", 1970, 4, 0.9)),
    *(MadePlayers("zinnia", 1995, 11, None), MadePlayers("zinnia", 2014, 3, 0.1)),
    MadePlayers("small", 2013, 9, 0.125),
    MadePlayers("bell", 2013, 10, 0.25),
)


@pytest.fixture
def body(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> DataFolder:
    """The folder of a body whose four clubs are built."""
    monkeypatch.setattr("ingest.club_day.today", lambda: date(2026, 3, 17))
    folder = DataFolder(tmp_path / "body")
    monkeypatch.setenv(FOLDER_VARIABLE, str(folder.path))
    folder.path.mkdir()
    folder.settings_file.write_text('club_name = "Hill county"\n[federation]\ntables = "out"\n', encoding="utf-8")
    publish(folder.path / "out", CLUBS, PLAYERS, quiet=["bell"])
    return folder


def the_page(folder: DataFolder) -> AppTest:
    page = opened(folder, "views/clubs.py")
    assert not page.exception
    return page


def test_clubs_stand_by_name_with_what_may_be_told_of_each(body: DataFolder) -> None:
    page = the_page(body)

    _, *told = rows(html_of(page)[0])
    assert [line[:3] for line in told] == [
        ["Alder last log 9 Mar sent 15 Mar", "under 15", "12 of 12"],
        ["Bell last log Oct 2025 sent 15 Mar", "under 15", "10 of 10"],
        ["Small & Few last log 9 Mar sent 15 Mar", "too few players to be told of"],
        ["Zinnia Road last log 9 Mar sent 15 Mar", "19 to 39", "11 of 11"],
    ]
    # Twelve shares, half .5 and half .25: a mean of .375 with Student's range t(.975, 11) s / sqrt(12), which is .083.
    assert told[0][3] == "38 in 100 29 to 46"
    assert told[3][3] == "too few with a log and a target"
    said = words(page)
    assert "4 clubs, as of the build of 16 March 2026." in said
    assert "No log for more than 28 days:** Bell (last log 20 October 2025)." in said


def test_of_the_few_nothing_is_told_anywhere(body: DataFolder) -> None:
    """Neither the four oldest of Alder and the three youngest of Zinnia, nor the small club, be it picked."""
    page = the_page(body)
    page.selectbox[0].select("small").run()

    said = words(page)
    assert r"Small \& Few: never 10 players" in said
    assert "other ages" not in html_of(page)[0]
    for figure in ("90 in 100", "10 in 100", "12 in 100", "13 in 100", "40 and over"):
        assert figure not in said


def test_one_club_is_shown_over_its_weeks_and_by_its_balls(body: DataFolder) -> None:
    page = the_page(body)
    page.selectbox[0].select("bell").run()

    _, weeks, values = html_of(page)
    assert [line[:3] for line in rows(weeks)[1:]] == [
        ["20 October 2025", "10", "25 in 100 25 to 25"],
        ["13 October 2025", "10", "25 in 100 25 to 25"],
        ["6 October 2025", "10", "25 in 100 25 to 25"],
    ]
    # Only one of ten players met backspin: it is left out, and topspin is all of what is told.
    assert [line[:4] for line in rows(values)[1:]] == [["Spin, finely", "topspin", "10", "100 in 100"]]


def test_before_the_first_build_the_next_step_is_told(body: DataFolder) -> None:
    (body.path / "out" / "CURRENT").unlink()

    page = the_page(body)

    assert "halflong federation build" in page.error[0].value.replace("\\", "")


def test_a_club_has_no_such_page_and_a_body_none_of_a_club(body: DataFolder) -> None:
    assert "not open to you" in opened(body, "views/board.py").error[0].value
    body.settings_file.write_text('club_name = "Alder"\n', encoding="utf-8")

    assert "not open to you" in opened(body, "views/clubs.py").error[0].value


def test_nobody_trains_or_is_trained_in_the_folder_of_a_body(body: DataFolder) -> None:
    with pytest.raises(
        AccountProblem, match="saw the role coach, expected coordinator: this folder serves a federation"
    ):
        invite(owners_desk(body), "M. Roe", Role.COACH, groups=["*"])
    assert invite(owners_desk(body), "N. Quill", Role.COORDINATOR).startswith("/account/invitation/")
    assert not opened(body, "views/people.py").exception


def test_to_whom_no_page_of_a_body_is_open_that_is_told(body: DataFolder) -> None:
    """As when a club's folder becomes a body's: a coach is left in it."""
    coach = user_of(body, "M. Roe", Role.COACH, groups=["*"])

    for view in ("views/clubs.py", "views/needs.py"):
        assert "not open to you" in opened(body, view, user=coach).error[0].value


@pytest.mark.parametrize(
    ("section", "told"),
    [
        ("[federation]", "tables: saw"),
        ('[federation]\ntables = "out"\nleast_players = 1', "least_players: saw 1"),
        ('[federation]\ntables = "out"\nlast = 1', "last: saw 1"),
    ],
)
def test_a_section_that_is_not_sound_is_told(body: DataFolder, section: str, told: str) -> None:
    body.settings_file.write_text(section, encoding="utf-8")

    assert told in opened(body, "views/clubs.py").error[0].value
