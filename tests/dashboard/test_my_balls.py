"""The player's own page: a map that fills, a fact of what is new, one ball to ask for, how it goes, and a note."""

import re
from datetime import UTC, date, datetime

import pytest

from dashboard import questions
from dashboard.questions import Desk
from dashboard.rows.coach import BoardRow
from dashboard.rows.player import NewBallRow, SuccessRow
from dashboard.services import notes
from dashboard.services.notes import LONGEST_NOTE, NoNote
from dashboard.words import my_balls
from demo_data import stories
from models.permits import NotPermitted, Reader, Role, owner
from models.settings import Settings
from models.words import DIMENSION
from sql.club.notes import NoteToPlayer
from sql.folder import DataFolder
from tests.dashboard.shown import opened, plain, shown
from tests.signing_in import user_of

MINE = "views/my_training.py"
ADA = Reader("Ada Lind", Role.PLAYER, players=frozenset({"ADA"}))
BEN = Reader("Ben Orr", Role.PLAYER, players=frozenset({"BEN"}))


def drawn(app) -> str:
    """Everything in the page's drawings and lines, with its text alternatives."""
    return "\n".join([*(one.value for one in app.markdown), *(one.value for one in app.html)])


def test_the_page_shows_the_map_and_tells_in_words_what_the_board_counts(demo_club: DataFolder) -> None:
    app = shown(demo_club, MINE, stories.SPIN_TIED_TO_DEPTH.player)
    desk = Desk(demo_club, owner("test"))
    week = questions.weeks(desk)[0]
    (me,) = [row for row in questions.board(desk, week) if row.player_id == stories.SPIN_TIED_TO_DEPTH.player]

    assert f"Balls met: {me.cells_covered} of {me.cells} met" in drawn(app)
    assert f"<b>{me.cells_covered}<small> of {me.cells}</small></b>" in drawn(app)
    assert "Ask for this next" in drawn(app)
    assert re.search(r"Success from .+ sessions as dots", drawn(app))


def test_what_is_new_are_the_kinds_that_no_earlier_day_had(demo_club: DataFolder) -> None:
    """Beside the question, the days of every combination are looked through."""
    desk = Desk(demo_club, owner("test"))
    week = questions.weeks(desk)[0]
    for row in questions.board(desk, week):
        new = questions.new_balls(desk, week, row.player_id)
        before = questions.coverage(desk, questions.weeks(desk)[4], row.player_id)
        unmet = {tuple(one.words.values()) for one in before if one.status == "empty"}
        now = questions.coverage(desk, week, row.player_id)
        met = {tuple(one.words.values()) for one in now if one.status in ("touched", "covered")}

        assert {tuple(one.words.values()) for one in new} == (unmet & met if before else met)


def board_row(**more: object) -> BoardRow:
    row: dict[str, object] = {
        "player_id": "ADA",
        "name": "Ada Lind",
        "group_name": None,
        "handedness": "right",
        "standing": "judged",
        "last_logged_on": date(2026, 11, 20),
        "balls": 40,
        "sessions": 2,
        "cells": 4,
        "cells_covered": 1,
        "pairs": None,
        "pairs_covered": None,
    }
    return BoardRow(**(row | more))  # type: ignore[arg-type]


NEWEST = NewBallRow(
    dict.fromkeys(DIMENSION.names) | {"depth": "middle", "spin_family": "topspin"}, date(2026, 11, 18), 6
)


@pytest.mark.parametrize(
    ("new", "me", "name", "said"),
    [
        (
            [NEWEST],
            {},
            None,
            "One kind of ball is new in the last 28 days. The newest: from the middle, topspin, on 18",
        ),
        ([NEWEST] * 2, {}, "Ada", "2 kinds of ball are new for Ada in the last 28 days."),
        ([], {}, None, "You hit 40 balls in 2 sessions of the last 28 days; no kind of the plan was new."),
        ([], {"standing": "no_log"}, "Ada", "There is no log of Ada's training in the last 28 days."),
    ],
)
def test_what_is_new_is_said_to_whoever_reads(
    new: list[NewBallRow], me: dict[str, object], name: str, said: str
) -> None:
    assert my_balls.what_is_new(new, board_row(**me), Settings(), name).startswith(said)


def test_how_many_land_is_never_said_without_count_and_range() -> None:
    row = SuccessRow("all", 312, 210, 200.0, 210 / 312, 0.61, 0.73, 0.67, 0.6, 0.72)
    few = SuccessRow("all", 5, 3, 5.0, None, None, None, 0.6, 0.3, 0.8)

    assert my_balls.how_many_land(row, Settings(), None) == (
        "About **67 of 100** balls land now (210 of 312). Honestly it could be anything from 61 to 73."
    )
    assert "5 so far, it takes 20" in my_balls.how_many_land(few, Settings(), None)
    assert "0 so far" in my_balls.how_many_land(None, Settings(), "Ada")


def test_a_guardian_reads_of_the_child_by_name(small_club: DataFolder) -> None:
    app = opened(small_club, MINE, user=user_of(small_club, "G. Lind", Role.GUARDIAN, players=["ADA"]))
    app.selectbox[0].set_value("ADA").run()
    cards = [plain(one.value) for one in app.markdown if one.value.startswith("<div")]

    assert "3 kinds of ball are new for Ada in the last 28 days." in cards[0]
    assert [card for card in cards if re.search(r"\b[Yy]ou", card)] == []
    assert "As Ada reads it." in [one.value for one in app.caption]


def test_a_coach_says_a_sentence_and_takes_it_back(small_club: DataFolder) -> None:
    coach = Desk(small_club, Reader("M. Roe", Role.COACH, groups=frozenset({"Juniors"})))
    notes.write(coach, "ADA", "  Lovely feet\n today <b>*!*</b> ")

    (found,) = [one.value for one in shown(small_club, MINE, "ADA").html if "hl-note" in one.value]
    assert "“Lovely feet today &lt;b&gt;*!*&lt;/b&gt;”" in found
    assert notes.note_to(Desk(small_club, ADA), "ADA")
    notes.take_back(coach, "ADA")
    assert notes.note_to(coach, "ADA") is None


def test_a_note_is_its_players_and_its_coachs_alone(small_club: DataFolder) -> None:
    for reader in (ADA, BEN):
        with pytest.raises(NotPermitted):
            notes.write(Desk(small_club, reader), "ADA", "I am great")
    with pytest.raises(NotPermitted):
        notes.note_to(Desk(small_club, BEN), "ADA")


@pytest.mark.parametrize("note", ["", " \n ", "x" * (LONGEST_NOTE + 1)])
def test_nothing_and_too_much_are_no_note(small_club: DataFolder, note: str) -> None:
    with pytest.raises(NoNote, match=f"expected 1 to {LONGEST_NOTE}"):
        notes.write(Desk(small_club, owner("test")), "ADA", note)


def test_who_has_left_is_not_named() -> None:
    note = NoteToPlayer("Well done", None, datetime(2026, 11, 20, 18, tzinfo=UTC))

    assert my_balls.note_signature(note, date(2026, 11, 28)) == "A coach who has left, 20 November"
