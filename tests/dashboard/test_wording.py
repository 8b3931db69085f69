"""The sentences on the pages: plain, with counts, and silent where there is not enough to say."""

from datetime import date
from typing import Any

import pytest

from dashboard import phrases, wording
from models.settings import Settings
from models.words import COVERAGE_DIMENSIONS

SETTINGS = Settings()
TODAY = date(2026, 11, 20)


def me(**known: Any) -> dict[str, Any]:
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
    return row | known


def value(dimension: str, word: str, status: str = "touched", **known: Any) -> dict[str, Any]:
    """A row of the coverage by value."""
    row = {"dimension": dimension, "value": word, "status": status, "balls": 30, "last_met_on": date(2026, 11, 2)}
    return row | ({"balls": 0} if status in ("stale", "empty") else {}) | known


def rated(
    rate: float | None, good: int, balls: int, low: float = 0.5, high: float = 0.7, **known: Any
) -> dict[str, Any]:
    return {"rate": rate, "good": good, "balls": balls, "low": low, "high": high} | known


# Phrases


def test_every_wanted_value_of_the_trade_has_a_phrase_without_an_underscore():
    every = [(words.name, word) for words in COVERAGE_DIMENSIONS for word in words.names]

    assert [pair for pair in every if "_" in phrases.phrase(*pair) or "_" in phrases.balls_so(*pair)] == []
    assert set(phrases.DIMENSION_LABELS) == {words.name for words in COVERAGE_DIMENSIONS}


@pytest.mark.parametrize(
    ("dimension", "word", "said"),
    [
        ("depth", "near", "balls from near the net"),
        ("side", "backhand", "balls from your backhand side"),
        ("spin_family", "topspin", "topspin balls"),
        ("spin_family", "no_spin", "balls without spin"),
        ("spin", "heavy_backspin", "heavy backspin balls"),
        ("length", "half_long", "half-long balls"),
        ("placement", "wide_forehand", "balls to the wide forehand"),
        ("tempo_band", "fast", "balls at a fast tempo"),
    ],
)
def test_balls_are_named_as_one_says_them(dimension: str, word: str, said: str):
    assert phrases.balls_so(dimension, word) == said


def test_a_combination_names_only_what_its_target_names():
    cell = dict.fromkeys(phrases.DIMENSIONS) | {"depth": "near", "side": "backhand", "length": "half_long"}

    assert phrases.combination(cell) == "from near the net, backhand side, half-long"


@pytest.mark.parametrize(
    ("on", "said"),
    [(date(2026, 10, 12), "12 October"), (date(2025, 10, 12), "12 October 2025")],
    ids=["this year", "last"],
)
def test_a_day_has_its_year_only_where_it_is_another_one(on: date, said: str):
    assert phrases.day(on, TODAY) == said


@pytest.mark.parametrize(("rate", "said"), [(0, "0 in 100"), (0.651, "65 in 100"), (1, "100 in 100")])
def test_a_share_is_said_as_so_many_in_a_hundred(rate: float, said: str):
    assert phrases.in_100(rate) == said


def test_signs_of_markup_in_a_name_are_shown_as_written():
    assert phrases.verbatim("Zoë *[x](y) :red[a] $b$ <i>") == r"Zoë \*\[x\]\(y\) \:red\[a\] \$b\$ \<i\>"


# For the coach


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (me(), None),
        (me(standing="no_log"), "no log yet"),
        (me(standing="no_recent_log", last_logged_on=date(2026, 10, 12)), "no log since 12 October"),
        (me(standing="few_balls", balls=14), "not enough balls yet: 14 of the 20 it takes"),
        (me(standing="no_target"), "no target for this player"),
    ],
    ids=lambda value: value["standing"] if isinstance(value, dict) else "",
)
def test_who_cannot_be_judged_gets_a_reason_and_never_a_guess(row: dict[str, Any], said: str | None):
    assert wording.standing(row, SETTINGS, TODAY) == said


@pytest.mark.parametrize(
    ("status", "balls", "said"),
    [
        ("empty", 0, "never met"),
        ("stale", 0, "stale, last on 2 November"),
        ("touched", 6, "6 balls, 4 more to go"),
        ("covered", 1240, "1,240 balls"),
    ],
)
def test_a_combination_is_told_by_how_it_was_met(status: str, balls: int, said: str):
    cell = {"status": status, "balls": balls, "need_balls": 10 - balls, "last_met_on": date(2026, 11, 2)}

    assert wording.met_how(cell, TODAY) == said


def test_a_rate_stands_with_its_counts_and_range():
    assert (
        wording.success(rated(0.65, 628, 965, 0.62, 0.68), SETTINGS) == "65 in 100 (628 of 965 balls; range 62 to 68)."
    )


def test_too_few_balls_have_counts_and_no_rate():
    said = wording.success(rated(None, 7, 14), SETTINGS)

    assert said == "7 of 14 balls: not enough balls yet for a rate (it takes 20)."


def test_single_sessions_are_told_by_the_lowest_and_the_highest_with_enough_balls():
    sessions = [
        rated(0.4, 40, 100, session_date=date(2026, 11, 2)),
        rated(None, 0, 3, session_date=date(2026, 11, 3)),
        rated(0.8, 80, 100, session_date=date(2026, 11, 4)),
        rated(0.6, 60, 100, session_date=date(2026, 11, 5)),
    ]

    assert wording.session_swing(sessions, TODAY) == (
        "Single sessions: the lowest 40 in 100 (2 November, 100 balls), the highest 80 in 100 (4 November, 100 balls)."
    )


def test_one_session_is_no_swing():
    said = wording.session_swing([rated(0.4, 40, 100, session_date=date(2026, 11, 2))], TODAY)

    assert said == "There are not yet two sessions with enough balls to compare."


@pytest.mark.parametrize("order", ["blocked", "serial", "random", None])
def test_no_order_of_balls_is_called_better(order: str | None):
    said = wording.order_seen({"order_seen": order}).lower()

    assert [word for word in ("good", "better", "best", "bad", "worse") if word in said] == []


@pytest.mark.parametrize(
    ("week", "said"),
    [
        ({"sessions": 0, "minutes": None}, "No log in this week: that is missing, not rest."),
        ({"sessions": 1, "minutes": None, "balls": 90}, "90 balls in this week; nobody noted minutes."),
        (
            {"sessions": 1, "minutes": 20.0, "balls": 90, "week_change": None},
            "20 minutes with 90 balls in this week; there are no earlier weeks with minutes to compare.",
        ),
        (
            {"sessions": 1, "minutes": 20.0, "balls": 90, "week_change": 1.25, "weeks_compared": 3},
            "20 minutes with 90 balls in this week: 1.2 times the mean of the 3 weeks before that have minutes noted.",
        ),
    ],
    ids=["no log", "no minutes", "nothing before", "compared"],
)
def test_a_week_without_a_log_is_missing_and_not_rest(week: dict[str, Any], said: str):
    assert wording.load(week) == said


# For the player


def test_a_player_is_told_what_was_met_of_the_own_plan():
    said = wording.what_i_met(me(), [value("depth", "back"), value("depth", "near")], SETTINGS, TODAY)

    assert said == [
        "In the last 28 days of the log you hit 600 balls in 5 sessions.",
        "Of the 54 kinds of ball on your plan you met 20 well: 10 balls or more of each.",
    ]


def test_a_player_who_met_one_of_several_values_is_told_which():
    values = [value("depth", "back"), value("depth", "near", "empty"), value("spin_family", "topspin")]

    said = wording.what_i_met(me(), values, SETTINGS, TODAY)

    assert said[2:] == ["On your plan you met only balls from the back."]


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (me(standing="no_log", balls=0), "There is no log of your training yet."),
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
def test_a_player_with_little_to_tell_is_told_why(row: dict[str, Any], said: str):
    assert wording.what_i_met(row, [], SETTINGS, TODAY)[-1] == said


def test_what_a_player_lacks_is_what_was_never_met_and_what_is_stale():
    values = [value("depth", "back"), value("depth", "near", "empty"), value("tempo_band", "fast", "stale")]

    assert wording.what_i_lack(me(), values, TODAY) == [
        "Not met yet: balls from near the net.",
        "Met before, but not lately: balls at a fast tempo (last on 2 November).",
    ]


def test_who_met_every_value_but_not_every_combination_is_told_that_they_are_missing_together():
    said = wording.what_i_lack(me(), [value("depth", "back")], TODAY)

    assert said == ["Every place, spin and tempo on your plan came up; what is missing are some of them together."]


def test_who_met_everything_lacks_nothing():
    assert wording.what_i_lack(me(cells_covered=54), [value("depth", "back", "covered")], TODAY) == [
        "Nothing on your plan: you met every kind of ball. Keep the mix."
    ]


@pytest.mark.parametrize("standing", ["no_log", "few_balls", "no_target"])
def test_who_cannot_be_judged_is_not_told_to_lack_anything(standing: str):
    assert wording.what_i_lack(me(standing=standing), [value("depth", "near", "empty")], TODAY) == []


def test_success_by_value_has_counts_or_says_that_there_are_too_few():
    rows = [rated(0.55, 127, 230, value="backspin"), rated(None, 3, 9, value="topspin")]

    assert wording.how_it_goes("spin_family", rows) == [
        "Backspin balls: 55 in 100 landed (127 of 230).",
        "Topspin balls: not enough balls yet (9).",
    ]


def test_a_change_names_both_counts_and_that_the_balls_may_differ():
    row = {
        "then_rate": 0.45,
        "then_good": 450,
        "then_balls": 1000,
        "then_week_end": date(2026, 6, 21),
        "rate": 0.77,
    }

    assert wording.my_change(row, 28, TODAY) == (
        "In the 28 days to 21 June it was 45 in 100 (450 of 1,000); now it is 77 in 100. "
        "The balls may have been others then."
    )


@pytest.mark.parametrize("jargon", ["significant", "confidence", "interval", "entropy", "Wilson", "cell", "coverage"])
def test_a_player_reads_no_jargon(jargon: str):
    values = [value("depth", "back"), value("depth", "near", "empty"), value("tempo_band", "fast", "stale")]
    said = [
        *wording.what_i_met(me(), values, SETTINGS, TODAY),
        *wording.what_i_lack(me(), values, TODAY),
        wording.my_success(rated(0.65, 628, 965), SETTINGS),
    ]

    assert jargon.lower() not in " ".join(said).lower()
