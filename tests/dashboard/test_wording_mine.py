"""What is said to the player: plain, encouraging, with counts, and about nobody else."""

from datetime import date
from typing import Any

import pytest

from dashboard.rows.coach import BoardRow, GapRow, ValueRow
from dashboard.rows.judged import TrendRow
from dashboard.rows.player import SuccessRow
from dashboard.words import mine as wording_mine
from models.settings import Settings
from tests.dashboard.some import in_words, some

SETTINGS = Settings()
TODAY = date(2026, 11, 20)


def me(**known: Any) -> BoardRow:
    """A row of the board: a player who can be judged, and what differs."""
    row = {
        "name": "Ada",
        "standing": "judged",
        "last_logged_on": date(2026, 11, 18),
        "balls": 600,
        "sessions": 5,
        "cells": 54,
        "cells_covered": 20,
    }
    return some(BoardRow, **row | known)


def value(dimension: str, word: str, status: str = "touched", **known: Any) -> ValueRow:
    """A row of the coverage by value."""
    row = {"dimension": dimension, "value": word, "status": status, "balls": 30, "last_met_on": date(2026, 11, 2)}
    return some(ValueRow, **row | ({"balls": 0} if status in ("stale", "empty") else {}) | known)


def rated(rate: float | None, good: int, balls: int, low: float = 0.5, high: float = 0.7, **known: Any) -> SuccessRow:
    return some(SuccessRow, rate=rate, good=good, balls=balls, low=low, high=high, **known)


def test_a_player_is_told_what_was_met_of_the_own_plan():
    said = wording_mine.what_i_met(me(), [value("depth", "back"), value("depth", "near")], SETTINGS, TODAY)

    assert said == [
        "In the last 28 days of the log you hit 600 balls in 5 sessions.",
        "Of the 54 kinds of ball on your plan you met 20 well: 10 balls or more of each.",
    ]


def test_a_player_who_met_one_of_several_values_is_told_which():
    values = [value("depth", "back"), value("depth", "near", "empty"), value("spin_family", "topspin")]

    said = wording_mine.what_i_met(me(), values, SETTINGS, TODAY)

    assert said[2:] == ["On your plan you met only balls from the back."]


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (me(standing="no_log", balls=0, last_logged_on=None), "There is no log of your training yet."),
        (
            me(standing="no_recent_log", balls=0, last_logged_on=date(2026, 10, 12)),
            "There is no log of your training since 12 October, so the last 28 days say nothing. If you did train, "
            "tell your coach that the log is missing.",
        ),
        (
            me(standing="few_balls", balls=14, sessions=1),
            "That is a start, and not enough balls yet to say more: it takes 20.",
        ),
        (
            me(standing="no_target", cells=None),
            "There is no target for you yet, so there is nothing to measure the variety against.",
        ),
    ],
    ids=["no log", "absent", "newcomer", "no target"],
)
def test_a_player_with_little_to_tell_is_told_why(row: BoardRow, said: str):
    assert wording_mine.what_i_met(row, [], SETTINGS, TODAY)[-1] == said


def test_what_a_player_lacks_is_what_was_never_met_and_what_is_stale():
    values = [value("depth", "back"), value("depth", "near", "empty"), value("tempo_band", "fast", "stale")]

    assert wording_mine.what_i_lack(me(), values, TODAY) == [
        "Not met yet: balls from near the net.",
        "Met before, but not lately: balls at a fast tempo (last on 2 November).",
    ]


def test_who_met_every_value_but_not_every_combination_is_told_that_they_are_missing_together():
    said = wording_mine.what_i_lack(me(), [value("depth", "back")], TODAY)

    assert said == ["Every place, spin and tempo on your plan came up; what is missing are some of them together."]


def test_who_met_everything_lacks_nothing():
    assert wording_mine.what_i_lack(me(cells_covered=54), [value("depth", "back", "covered")], TODAY) == [
        "Nothing on your plan: you met every kind of ball. Keep the mix."
    ]


@pytest.mark.parametrize("standing", ["no_log", "few_balls", "no_target"])
def test_who_cannot_be_judged_is_not_told_to_lack_anything(standing: str):
    assert wording_mine.what_i_lack(me(standing=standing), [value("depth", "near", "empty")], TODAY) == []


def test_success_by_value_has_counts_or_says_that_there_are_too_few():
    rows = [rated(0.55, 127, 230, value="backspin"), rated(None, 3, 9, value="topspin")]

    assert wording_mine.how_it_goes("spin_family", rows) == [
        "Backspin balls: 55 in 100 landed (127 of 230).",
        "Topspin balls: not enough balls yet (9).",
    ]


def trend(verdict: str, change: float | None = 0.1, **known: Any) -> TrendRow:
    """A player's trend over all balls."""
    row = {"verdict": verdict, "change": change, "sessions": 56, "balls": 10599}
    return some(TrendRow, **row | {"first_on": date(2026, 5, 25), "last_on": date(2026, 11, 18)} | known)


COUNTED = "(25 May to 18 November: 10,599 balls in 56 sessions.)"


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (
            trend("rising", 0.33),
            "You are getting better: about 33 more in 100 land than at the start, on balls equally hard. Keep going! "
            + COUNTED,
        ),
        (
            trend("falling", -0.12),
            "About 12 fewer in 100 land than at the start, on balls equally hard. That happens, for instance when a "
            "stroke is being changed. Talk it over with your coach. " + COUNTED,
        ),
        (trend("steady", 0.01), "You keep your level, on balls equally hard. " + COUNTED),
        (
            trend("not_clear", 0.05),
            "It goes up and down, as it does for everybody; whether it is rising cannot be told yet. " + COUNTED,
        ),
        (
            trend("balls_changed", 0.05),
            "You met other balls than at first, so whether you are getting better cannot be told yet. " + COUNTED,
        ),
        (
            trend("too_few", None, sessions=1, balls=14),
            "Not enough balls yet to say where it is going: 14 balls in 1 session so far, it takes 120 balls in 6 "
            "sessions. Every session counts.",
        ),
        (
            None,
            "Not enough balls yet to say where it is going: none so far, it takes 120 balls in 6 sessions. Every "
            "session counts.",
        ),
    ],
    ids=lambda value: getattr(value, "verdict", ""),
)
def test_where_it_is_going_is_said_to_the_player_with_counts(row: TrendRow | None, said: str):
    assert wording_mine.my_trend(row, SETTINGS, TODAY) == said


def test_a_weak_ball_is_one_to_work_on_and_not_a_bad_one():
    gap = some(GapRow, words=in_words(depth="near", spin_family="topspin"), why="weak")

    assert wording_mine.ask_for(gap, TODAY) == (
        "From near the net, topspin — you meet it often, and it is the one to work on"
    )


def test_what_was_not_met_for_long_is_not_called_stale():
    known = {"why": "not_lately", "status": "stale", "last_met_on": date(2026, 11, 2)}
    gap = some(GapRow, words=in_words(depth="near"), **known)

    assert wording_mine.ask_for(gap, TODAY) == ("From near the net — not met lately, last on 2 November")


@pytest.mark.parametrize(
    "jargon", ["significant", "confidence", "interval", "entropy", "Wilson", "cell", "coverage", "stale"]
)
def test_a_player_reads_no_jargon(jargon: str):
    values = [value("depth", "back"), value("depth", "near", "empty"), value("tempo_band", "fast", "stale")]
    said = [
        *wording_mine.what_i_met(me(), values, SETTINGS, TODAY),
        *wording_mine.what_i_lack(me(), values, TODAY),
        wording_mine.my_success(rated(0.65, 628, 965), SETTINGS),
        *(wording_mine.my_trend(trend(verdict), SETTINGS, TODAY) for verdict in ("rising", "falling", "steady")),
    ]

    assert jargon.lower() not in " ".join(said).lower()
