"""From an empty evening to a printed plan: how often a coach of ten children with two feeders has to touch the page."""

from datetime import date
from pathlib import Path

import pytest

from dashboard.paper.making import hall_plan_made
from dashboard.questions import owners_desk
from dashboard.services import halls_kept
from dashboard.serving import FOLDER_VARIABLE
from ingest.loading import load
from sql.folder import DataFolder
from tests.dashboard.conftest import SMALL_CLUB, incoming
from tests.dashboard.shown import opened, words

TODAY = date(2025, 3, 13)
MOST_TOUCHES = 8


@pytest.fixture
def club_of_eleven(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> DataFolder:
    """Eleven juniors, of whom one does not come tonight."""
    monkeypatch.setattr("ingest.club_day.today", lambda: TODAY)
    more = "".join(f"P{n},Player {n},right,Juniors,2024-09-02,yes\n" for n in range(9))
    folder = DataFolder(tmp_path / "club")
    files = SMALL_CLUB | {"players.csv": SMALL_CLUB["players.csv"] + more}
    load(folder, incoming(files), "test", today=date(2025, 3, 12))
    monkeypatch.setenv(FOLDER_VARIABLE, str(folder.path))
    return folder


@pytest.mark.proof
def test_ten_children_and_two_feeders_are_planned_and_printed_in_at_most_eight_touches(club_of_eleven) -> None:
    """Open the page, the group that one is in; touch who is missing, a second table, keep, print."""
    app = opened(club_of_eleven, "views/hall.py")
    touches = ["the place in the head"]
    pills = next(one for one in app.button_group if one.label.startswith("Who is here"))
    app = pills.set_value([code for code in pills.value if code != "P8"]).run()
    touches.append("who is missing")
    app = app.number_input(key="hall-tables-robot").increment().run()
    touches.append("one more table")
    assert "10 players at 2 tables" in words(app)
    app = app.button(key="hall-keep").click().run()
    touches.append("keep")
    address = "/paper/hall/2025-03-13/1800.pdf"
    assert address in "".join(one.value for one in app.html)
    touches.append("print")

    (kept,) = halls_kept.halls_of(owners_desk(club_of_eleven), TODAY)
    assert {turn.player for turn in kept.turns} == {"ADA", "BEN", *(f"P{n}" for n in range(8))}
    assert hall_plan_made(owners_desk(club_of_eleven), "2025-03-13/1800").pdf.startswith(b"%PDF")
    assert len(touches) <= MOST_TOUCHES
