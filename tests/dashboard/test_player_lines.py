"""The six lines of a player's page, each with its count, whatever is empty; and what they open."""

from datetime import date

import pytest

from dashboard.rows.coach import BoardRow, GapRow
from dashboard.rows.judged import MixRow, TrendRow, VarietyCostRow
from dashboard.rows.player import ErrorRow, WeekRow
from dashboard.words import player_lines
from models.settings import Settings
from models.words import DIMENSION
from sql.folder import DataFolder
from tests.dashboard.shown import opened, words

TODAY = date(2026, 11, 20)
WEEK = date(2026, 11, 16)


def board_row(**more: object) -> BoardRow:
    row: dict[str, object] = {
        "player_id": "ADA",
        "name": "Ada Lind",
        "group_name": "Juniors",
        "handedness": "left",
        "standing": "judged",
        "last_logged_on": TODAY,
        "balls": 1263,
        "sessions": 8,
        "cells": 54,
        "cells_covered": 6,
        "pairs": 45,
        "pairs_covered": 20,
    }
    return BoardRow(**(row | more))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("line", "answer", "rests_on"),
    [
        (
            player_lines.variety(board_row()),
            "6 of 54 covered",
            "20 of 45 pairs of values together; 1,263 balls, 8 sessions",
        ),
        (player_lines.variety(board_row(pairs=None)), "6 of 54 covered", "1,263 balls, 8 sessions"),
        (player_lines.variety(board_row(cells=None)), "No target", "no plan applies to this player"),
        (
            player_lines.success(MixRow("ADA", 329, 200.0, 0.23, 0.69, 0.63, 0.75)),
            "69 in 100 on the wanted mix",
            "range 63 to 75; 329 balls, speaks for 23 in 100 of the mix",
        ),
        (player_lines.success(MixRow("ADA", 9, 9.0, 0.1, None, None, None)), "Not enough balls yet", "9 balls"),
        (player_lines.success(None), "Not enough balls yet", "0 balls"),
        (
            player_lines.trend(TrendRow("all", 8, 300, date(2026, 6, 1), TODAY, 0.02, -0.07, 0.12, "not_clear"), TODAY),
            "Not clear",
            "7 fewer to 12 more in 100 since 1 June; 300 balls",
        ),
        (
            player_lines.trend(TrendRow("all", 2, 30, date(2026, 6, 1), TODAY, None, None, None, "too_few"), TODAY),
            "Not enough balls yet",
            "30 balls in 2 sessions",
        ),
        (player_lines.trend(None, TODAY), "Not enough", "no session"),
        (
            player_lines.change_of_ball(VarietyCostRow(120, 300, 0.2, 0.1, 0.3, 0.5, "falls")),
            "Falls on the first ball",
            "10 to 30 fewer in 100; 120 first balls",
        ),
        (
            player_lines.change_of_ball(VarietyCostRow(12, 30, None, None, None, 0.5, "too_few")),
            "Not enough balls yet",
            "12 first balls, 30 repeated ones",
        ),
        (player_lines.change_of_ball(None), "Not known", "no ball was logged one by one"),
        (player_lines.mistakes([]), "Not noted", "no line of these weeks names its mistakes"),
        (
            player_lines.mistakes([ErrorRow("backspin", "net", 29, 72, 40, 210, 0.4, 0.3, 0.5, stands_out=True)]),
            "Net on backspin",
            "40 in 100, 29 of 72 balls",
        ),
        (
            player_lines.mistakes([ErrorRow("backspin", "net", 9, 72, 9, 72, 0.1, 0.0, 0.2, stands_out=False)]),
            "None goes with one spin",
            "72 balls noted",
        ),
        (
            player_lines.load([WeekRow(WEEK, 2, 329, 20.0, None, 1.8, 4, None)]),
            "20 min, 329 balls this week",
            "1.8 times the 4 weeks before",
        ),
        (
            player_lines.load([WeekRow(WEEK, 2, 329, 20.0, None, None, 0, None)]),
            "20 min, 329 balls this week",
            "no earlier weeks",
        ),
        (
            player_lines.load([WeekRow(WEEK, 2, 329, None, None, None, 0, None)]),
            "329 balls this week",
            "nobody noted minutes",
        ),
        (
            player_lines.load([WeekRow(WEEK, 0, None, None, None, None, 0, None)]),
            "No log this week",
            "missing",
        ),
        (player_lines.load([]), "No log this week", "missing"),
    ],
)
def test_a_line_says_the_answer_and_what_it_rests_on(line: player_lines.Line, answer: str, rests_on: str) -> None:
    assert line.answer.lower().startswith(answer.lower())
    assert rests_on in line.rests_on


def gap(**more: object) -> GapRow:
    row: dict[str, object] = {
        "words": dict.fromkeys(DIMENSION.names),
        "wanted_share": 0.1,
        "balls": 0,
        "need_balls": 10,
        "last_met_on": None,
        "days_since": None,
        "status": "empty",
        "judged_balls": 0,
        "shrunk_rate": None,
        "shrunk_low": None,
        "shrunk_high": None,
        "why": "empty",
    }
    return GapRow(**(row | more))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (gap(), "never met"),
        (gap(last_met_on=date(2026, 9, 2), status="stale", why="stale"), "last on 2 September"),
        (gap(last_met_on=TODAY, balls=3, status="touched", why="touched"), "3 of 10 balls"),
        (
            gap(last_met_on=TODAY, balls=30, why="weak", shrunk_rate=0.4, shrunk_low=0.3, shrunk_high=0.5),
            "weak: about 40 in 100",
        ),
    ],
)
def test_why_a_ball_is_next_is_said_in_a_few_words(row: GapRow, said: str) -> None:
    assert player_lines.why_next(row, Settings(), TODAY) == said


def test_a_line_opens_what_stands_behind_it_and_nothing_else(small_club: DataFolder) -> None:
    app = opened(small_club, "views/one_player.py", "ADA")
    everything = words(app)
    app.query_params["open"] = "load"
    only = words(app.run())

    assert "Load by week" in everything
    assert "How success goes" in everything
    assert "Load by week" in only
    assert "How success goes" not in only
    app.button("open-success").click().run()
    assert "How success goes" in words(app)
    assert "Load by week" not in words(app)


@pytest.mark.parametrize(
    ("turn_deg", "told"),
    [
        (14.4, "head about 14° to the player's right"),
        (-22.0, "head about 22° to the player's left"),
        (0.2, "head straight"),
    ],
)
def test_it_is_told_how_far_the_head_is_turned_for_the_next_ball(turn_deg: float, told: str) -> None:
    assert player_lines.head_turned(turn_deg) == told
