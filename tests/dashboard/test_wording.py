"""The sentences on the pages: plain, with counts, and silent where there is not enough to say."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from dashboard.rows.coach import BoardRow, CoverageRow, GapRow
from dashboard.rows.judged import LikenessRow, MixRow
from dashboard.rows.player import ErrorRow, OrderRow, SessionRow, SuccessRow, VarietyRow, WeekRow
from dashboard.words import phrases
from dashboard.words import sentences as wording
from dashboard.words import weeks as weeks_words
from models.settings import Settings
from models.spread import Spread
from models.words import COVERAGE_DIMENSIONS
from tests.dashboard.some import in_words, some

SETTINGS = Settings()
TODAY = date(2026, 11, 20)


GRID = {
    "cells": 54,
    "balls_in_grid": 1700,
    "effective_conditions": 17.57,
    "evenness": 0.72,
    "distinct_conditions": 8.29,
    "most_distinct_conditions": 12.55,
    "plan_distance": 0.477,
    "total_correlation": 1.1164,
}
"""A grid of which every single value was met evenly, and a third of the combinations."""

SPREAD = Spread(17.57, 0.72, 13.02, 8.29, 12.55, 0.318, 0.477, 1.1164)
"""The figures of that grid."""


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


def rated(rate: float | None, good: int, balls: int, low: float = 0.5, high: float = 0.7) -> SuccessRow:
    return some(SuccessRow, rate=rate, good=good, balls=balls, low=low, high=high)


def session(rate: float | None, balls: int, on: date) -> SessionRow:
    return some(SessionRow, rate=rate, balls=balls, session_date=on)


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
    cell = in_words(depth="near", side="backhand", length="half_long")

    assert phrases.combination(cell) == "from near the net, backhand side, half-long"


@pytest.mark.parametrize(
    ("on", "said"),
    [(date(2026, 10, 12), "12 October"), (date(2025, 10, 12), "12 October 2025")],
    ids=["this year", "last"],
)
def test_a_day_has_its_year_only_where_it_is_another_one(on: date, said: str):
    assert phrases.day(on, TODAY) == said


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [
        (0.26, 0.39, "26 to 39 more in 100"),
        (-0.39, -0.26, "26 to 39 fewer in 100"),
        (-0.1, 0.05, "10 fewer to 5 more in 100"),
        (-0.001, 0.05, "0 to 5 more in 100"),
    ],
)
def test_the_range_of_a_change_is_said_as_more_or_fewer(low: float, high: float, said: str):
    assert phrases.change_range_in_100(low, high) == said


@pytest.mark.parametrize(("change", "said"), [(0.33, "33 more in 100"), (-0.04, "4 fewer in 100")])
def test_a_change_is_said_as_more_or_fewer(change: float, said: str):
    assert phrases.change_in_100(change) == said


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
        (me(standing="no_log", last_logged_on=None), "no log yet"),
        (me(standing="no_recent_log", last_logged_on=date(2026, 10, 12)), "no log since 12 October"),
        (me(standing="few_balls", balls=14), "not enough balls yet: 14 of the 20 it takes"),
        (me(standing="no_target"), "no target for this player"),
    ],
    ids=lambda value: getattr(value, "standing", ""),
)
def test_who_cannot_be_judged_gets_a_reason_and_never_a_guess(row: BoardRow, said: str | None):
    assert wording.standing(row, SETTINGS, TODAY) == said


@pytest.mark.parametrize(
    ("status", "balls", "said"),
    [
        ("empty", 0, "never met"),
        ("stale", 0, "not met lately, last on 2 November"),
        ("touched", 6, "6 balls, 4 more to go"),
        ("covered", 1240, "1,240 balls"),
    ],
)
def test_a_combination_is_told_by_how_it_was_met(status: str, balls: int, said: str):
    met = None if status == "empty" else date(2026, 11, 2)
    cell = some(CoverageRow, status=status, balls=balls, need_balls=10 - balls, last_met_on=met)

    assert wording.met_how(cell, TODAY) == said


def test_a_rate_stands_with_its_counts_and_range():
    assert (
        wording.success(rated(0.65, 628, 965, 0.62, 0.68), SETTINGS) == "65 in 100 (628 of 965 balls; range 62 to 68)."
    )


def test_balls_are_told_by_what_they_are_worth():
    assert (
        wording.worth(some(SuccessRow, balls=1200, effective_balls=449.6))
        == "1,200 balls tell as much as 450 single ones."
    )


A_SEEN_DAY = {"session_likeness": 0.012, "session_comparisons": 1040, "session_is_assumed": False}
AN_ASSUMED_DAY = {"session_likeness": 0.0155, "session_comparisons": 7, "session_is_assumed": True}


def test_the_likeness_of_balls_is_printed_with_the_comparisons_it_rests_on():
    said = wording.likeness(some(LikenessRow, likeness=0.031, comparisons=115, **A_SEEN_DAY), SETTINGS)

    assert said.startswith("In this club balls of one block are alike by 0.03")
    assert "as seen in 115 comparisons between blocks. Of that, 0.01 is the form of the day, which all blocks" in said
    assert said.endswith("as seen in 1,040 comparisons between sessions.")


def test_a_form_of_the_day_that_is_assumed_says_what_it_takes_to_see_it():
    said = wording.likeness(some(LikenessRow, likeness=0.031, comparisons=115, **AN_ASSUMED_DAY), SETTINGS)

    assert said.endswith(
        "Half of that is taken to be the form of the day, which all blocks of a session share: the log holds 7 of the "
        "30 comparisons between sessions that it takes to tell."
    )


def test_an_assumed_likeness_is_called_a_setting():
    said = wording.likeness(
        some(LikenessRow, likeness=0.05, comparisons=12, is_assumed=True, **AN_ASSUMED_DAY), SETTINGS
    )

    assert "are assumed to be alike by 0.05" in said
    assert "That is a setting: this club's log holds 12 of the 30 comparisons between blocks" in said


def test_success_on_the_wanted_mix_says_for_how_much_of_it_it_speaks():
    row = some(MixRow, rate=0.62, low=0.56, high=0.67, balls=965, target_share_seen=0.124)

    assert wording.on_wanted_mix(row) == (
        "On the wanted mix of balls: 62 in 100 (range 56 to 67; 965 balls). It speaks for 12 in 100 of that mix; the "
        "rest was not met."
    )


@pytest.mark.parametrize("row", [None, some(MixRow)], ids=["none met", "too few"])
def test_without_enough_wanted_balls_there_is_no_rate_on_the_mix(row: MixRow | None):
    assert wording.on_wanted_mix(row) == "On the wanted mix: not enough balls yet."


def test_even_margins_that_hide_an_empty_grid_are_told_in_words():
    """By hand: exp(1.1164) = 3.054, and 17.57 x 3.054 = 53.7 (total correlation: Watanabe 1960)."""
    assert wording.combined(SPREAD) == (
        "Combined freely, the same depths, sides, spins and so on would make 53.7 combinations; they came together as "
        "17.6, because some values are tied to others."
    )


def test_values_that_are_combined_freely_are_told_so():
    assert wording.combined(replace(SPREAD, total_correlation=0.001)) == (
        "The values were combined freely: none is tied to another."
    )


def test_with_few_balls_coverage_stands_alone():
    few = some(VarietyRow, **GRID | {"effective_conditions": None, "balls_in_grid": 200})

    assert few.spread is None

    assert wording.coverage_only(few, SETTINGS) == (
        "Coverage only: too few balls to tell how they were spread. 200 balls fell into the grid; it takes 5 for each "
        "of its 54 combinations."
    )
    assert wording.coverage_only(some(VarietyRow, **GRID), SETTINGS) is None


def test_the_spread_is_told_with_the_ends_of_each_scale():
    evenness, distinct, often, distance = wording.spread(SPREAD)

    assert evenness.startswith("**Evenness 0.72**: 1 would be")
    assert distinct.startswith("**Really different balls: 8.3 of at most 12.6**.")
    assert often == "**Often fed: 13.0 combinations**, if those of few balls hardly count."
    assert distance == (
        "**Distance from the plan 0.48**: 0 would be the wanted mix, 1 nothing in common. 32 in 100 balls would have "
        "to be others to meet it."
    )


def test_a_grid_of_one_combination_has_no_evenness():
    assert len(wording.spread(replace(SPREAD, evenness=None))) == 3


def gap(why: str, **known: Any) -> GapRow:
    """A row of what to feed next."""
    lacking = {"why": why, "balls": 0, "need_balls": 10, "last_met_on": date(2026, 11, 2)}
    return some(GapRow, words=in_words(depth="near", spin_family="topspin"), **lacking | known)


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (gap("never_met", status="empty", last_met_on=None), "From near the net, topspin — never met"),
        (gap("not_lately", status="stale"), "From near the net, topspin — not met lately, last on 2 November"),
        (
            gap("too_few", status="touched", balls=6, need_balls=4),
            "From near the net, topspin — 6 balls, 4 more to go",
        ),
        (
            gap(
                "weak",
                status="covered",
                judged_balls=300,
                shrunk_rate=0.47,
                shrunk_low=0.40,
                shrunk_high=0.53,
                balls=60,
            ),
            "From near the net, topspin — met enough, but weak: about 47 in 100 (range 40 to 53; 300 balls)",
        ),
    ],
    ids=lambda value: getattr(value, "why", ""),
)
def test_what_to_feed_next_has_its_reason(row: GapRow, said: str):
    assert wording.feed_next(row, TODAY) == said


def test_mistakes_that_stand_out_come_first_by_how_often_they_happen():
    def row(spin: str, share: float, *, stands_out: bool) -> ErrorRow:
        known = {"outcome": "net", "balls": 20, "noted_balls": 100, "low": 0.1, "high": 0.4}
        return some(ErrorRow, **known, spin=spin, share=share, stands_out=stands_out)

    rows = [
        row("backspin", 0.2, stands_out=True),
        row("topspin", 0.5, stands_out=False),
        row("heavy_backspin", 0.3, stands_out=True),
    ]

    assert wording.standing_out(rows) == [
        "**Net** on **heavy backspin**: 30 in 100 (20 of 100 balls; range 10 to 40)",
        "**Net** on **backspin**: 20 in 100 (20 of 100 balls; range 10 to 40)",
    ]


def test_the_orders_of_the_last_sessions_are_counted():
    rows = [some(OrderRow, order_seen=order) for order in ("serial", "random", "serial", None)]

    assert wording.orders_in_short(rows) == (
        "Of the last 4 sessions logged ball by ball: 2 serial, 1 mixed, 1 without an order to see."
    )


def test_the_evidence_on_order_names_both_sides_and_the_later_test():
    """Shea & Morgan 1979; Czyż et al. 2024, Scientific Reports 14:15974 (abstracts)."""
    said = wording.ORDER_EVIDENCE

    assert "never scored" in said
    assert "In the laboratory, mixed practice clearly helped" in said
    assert "in the young none that could be told from chance" in said
    assert "judge it by a test some days later" in said


def test_too_few_balls_have_counts_and_no_rate():
    said = wording.success(rated(None, 7, 14), SETTINGS)

    assert said == "7 of 14 balls: not enough balls yet for a rate (it takes 20)."


def test_single_sessions_are_told_by_the_lowest_and_the_highest_with_enough_balls():
    sessions = [
        session(0.4, 100, date(2026, 11, 2)),
        session(None, 3, date(2026, 11, 3)),
        session(0.8, 100, date(2026, 11, 4)),
        session(0.6, 100, date(2026, 11, 5)),
    ]

    assert wording.session_swing(sessions, TODAY) == (
        "Single sessions: the lowest 40 in 100 (2 November, 100 balls), the highest 80 in 100 (4 November, 100 balls)."
    )


def test_one_session_is_no_swing():
    said = wording.session_swing([session(0.4, 100, date(2026, 11, 2))], TODAY)

    assert said == "There are not yet two sessions with enough balls to compare."


@pytest.mark.parametrize("order", ["blocked", "serial", "random", None])
def test_no_order_of_balls_is_called_better(order: str | None):
    said = wording.order_seen(some(OrderRow, order_seen=order)).lower()

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
    assert weeks_words.load(some(WeekRow, **week)) == said


def test_effort_is_told_where_it_was_noted():
    assert (
        weeks_words.effort(some(WeekRow, effort_load=420.0))
        == "Effort (0 to 10) times minutes, over its sessions: 420."
    )
    assert weeks_words.effort(some(WeekRow)) is None


def test_guidance_for_the_young_is_called_guidance_and_names_its_source():
    said = weeks_words.guidance(some(WeekRow, guidance_hours=10))

    assert said is not None
    assert said.startswith("Guidance for the young, not a limit: no more than 10 hours of organised sport a week")
    assert "Jayanthi et al. 2015" in said
    assert "Brenner 2016" in said
    assert "read second-hand" in said


def test_who_is_of_age_gets_no_guidance():
    assert weeks_words.guidance(some(WeekRow)) is None
