"""The verdicts in a coach's words: each with its counts and range, none with a p-value, and silent on too few balls."""

from datetime import date
from typing import Any

import pytest

from dashboard.rows.judged import RarelyMetRow, SittingRow, ThenAndNowRow, TrendRow, VarietyCostRow
from dashboard.words import judged as wording_judged
from models.settings import Settings
from tests.dashboard.some import some

SETTINGS = Settings()
TODAY = date(2026, 11, 20)

NO_JARGON = ("p-value", "p =", "significant", "confidence", "interval", "null", "correlation", "bootstrap", "%")


def trend(verdict: str, change: float | None, low: float | None, high: float | None, **known: Any) -> TrendRow:
    """A row of the trends."""
    row = {"verdict": verdict, "change": change, "change_low": low, "change_high": high}
    days = {"first_on": date(2026, 5, 25), "last_on": date(2026, 11, 18)}
    return some(TrendRow, **row | days | {"sessions": 56, "balls": 10599} | known)


COUNTED = "25 May to 18 November, 56 sessions, 10,599 balls"


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (
            trend("rising", 0.33, 0.26, 0.39),
            "**Rising**: about 33 more in 100 land at the end than at the beginning, on balls equally hard (range 26 "
            f"to 39 more in 100; {COUNTED}).",
        ),
        (
            trend("falling", -0.2, -0.3, -0.11),
            "**Falling**: about 20 fewer in 100 land at the end than at the beginning, on balls equally hard (range 11 "
            f"to 30 fewer in 100; {COUNTED}).",
        ),
        (
            trend("steady", 0.02, -0.06, 0.09),
            "**Steady**: whatever changed, on balls equally hard, is less than 10 in 100, which this club calls small "
            f"(range 6 fewer to 9 more in 100; {COUNTED}).",
        ),
        (
            trend("not_clear", 0.05, -0.14, 0.24),
            "**Not clear**: on balls equally hard it may have risen, fallen or stayed (range 14 fewer to 24 more in "
            f"100; {COUNTED}).",
        ),
        (
            trend("balls_changed", 0.05, -0.3, 0.4),
            "**Not clear: the balls changed**. Other balls were fed later than at first, and how much harder or easier "
            "they are is not known well enough to tell it from progress (range 30 fewer to 40 more in 100; "
            f"{COUNTED}).",
        ),
        (
            trend("too_few", None, None, None, sessions=1, balls=14),
            "**Not enough balls yet** to judge a trend: 1 session, 14 balls. It takes 120 balls in 6 sessions.",
        ),
        (None, "**Not enough balls yet** to judge a trend: nothing was logged in the last 26 weeks."),
    ],
    ids=lambda value: getattr(value, "verdict", ""),
)
def test_each_verdict_on_a_trend_has_its_words(row: TrendRow | None, said: str):
    assert wording_judged.trend(row, SETTINGS, TODAY) == said


def test_every_verdict_that_is_published_has_a_word():
    """The verdicts stand in the checks of report.trend and report.probes."""
    assert set(wording_judged.TREND_WORDS) == {"rising", "falling", "steady", "not_clear", "balls_changed", "too_few"}
    assert set(wording_judged.PROBE_WORDS) == {"first", "better", "worse", "not_clear", "other_test"}
    assert wording_judged.trend_in_short(None) == "not enough balls yet"


def compared(change: float | None) -> ThenAndNowRow:
    """Now beside then: 766 balls then, 928 now, of a quarter of the mix."""
    row = {"then_week": date(2026, 6, 15), "then_balls": 766, "balls": 928, "target_share_seen": 0.23}
    rates = {"then_rate": 0.50, "rate": 0.74, "change_low": 0.15, "change_high": 0.31, "detectable_change": 0.08}
    return some(ThenAndNowRow, **row | rates | {"change": change})


def test_then_and_now_are_told_like_for_like_with_the_change_that_could_be_told_from_chance():
    assert wording_judged.then_and_now(compared(0.24), 28, TODAY) == (
        "On the combinations met in both, 23 in 100 of the wanted mix: 50 in 100 in the 28 days to 21 June (766 "
        "balls), 74 in 100 now (928 balls). That is 24 more in 100 (range 15 to 31 more in 100); these balls could "
        "tell a change of 8 in 100 from chance."
    )


def test_then_and_now_on_few_common_balls_are_counts():
    assert wording_judged.then_and_now(compared(None), 28, TODAY) == (
        "On the combinations met in both, 23 in 100 of the wanted mix: not enough balls yet (766 balls then, 928 balls "
        "now)."
    )


def test_one_window_cannot_be_compared():
    said = wording_judged.then_and_now(None, 28, TODAY)

    assert said == "There are not yet two windows of logs with combinations in common."


def cost(verdict: str, cost: float | None, low: float | None, high: float | None) -> VarietyCostRow:
    """A row of the cost of a change: points lost, as published."""
    row = {"verdict": verdict, "cost": cost, "low": low, "high": high, "target_share_seen": 0.58}
    return some(VarietyCostRow, **row | {"first_balls": 1682, "repeat_balls": 1132})


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (
            cost("falls", 0.25, 0.18, 0.29),
            "**Success falls when the ball changes**: about 25 fewer in 100 land on the first ball after a change than "
            "on the same ball again (range 18 to 29 fewer in 100;",
        ),
        (
            cost("holds_up", 0.01, -0.04, 0.06),
            "**Success holds up when the ball changes**: a change costs less than 10 in 100, which this club calls "
            "small (range 6 fewer to 4 more in 100;",
        ),
        (
            cost("not_clear", 0.06, -0.08, 0.2),
            "**Not clear whether success holds up when the ball changes**: about 6 fewer in 100 land on the first ball "
            "after a change than on the same ball again, give or take (range 20 fewer to 8 more in 100;",
        ),
    ],
    ids=lambda value: getattr(value, "verdict", ""),
)
def test_each_verdict_on_a_change_of_ball_has_its_words(row: VarietyCostRow, said: str):
    """A cost is published as points lost; the sentence counts the balls that land, so the signs turn."""
    told = wording_judged.cost_of_a_change(row, SETTINGS)

    assert told.startswith(said)
    assert told.endswith(
        "1,682 balls after a change and 1,132 like the one before). It speaks for 58 in 100 of the wanted mix."
    )


def test_too_few_changes_of_ball_are_counted_and_not_judged():
    said = wording_judged.cost_of_a_change(cost("too_few", None, None, None), SETTINGS)

    assert said.startswith("**Not enough balls yet** to tell whether success holds up when the ball changes: 1,682")
    assert said.endswith("It takes 30 of each, in 8 blocks of 6 sessions.")


def test_without_balls_logged_one_by_one_nobody_knows_what_a_change_costs():
    assert wording_judged.cost_of_a_change(None, SETTINGS) == (
        "No ball of this player was logged one by one, so what came before each ball is not known."
    )


def reach(verdict: str, gap: float | None, low: float | None, high: float | None, rare: int = 451) -> RarelyMetRow:
    row = {"verdict": verdict, "gap": gap, "low": low, "high": high}
    return some(RarelyMetRow, **row | {"rare_balls": rare, "familiar_balls": 5040})


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (
            reach("reaches", -0.04, -0.09, 0.01),
            "**Success reaches the rarely met balls**: about 4 fewer in 100 land on them than on familiar ones of like "
            "difficulty (range 9 fewer to 1 more in 100; 451 rare and 5,040 familiar balls).",
        ),
        (
            reach("falls_short", -0.2, -0.3, -0.11),
            "**Success falls short on rarely met balls**: about 20 fewer in 100 land on them than on familiar ones of "
            "like difficulty (range 11 to 30 fewer in 100; 451 rare and 5,040 familiar balls).",
        ),
        (
            reach("not_clear", -0.07, -0.2, 0.06),
            "**Not clear whether success reaches the rarely met balls**: about 7 fewer in 100 land on them than on "
            "familiar ones of like difficulty (range 20 fewer to 6 more in 100; 451 rare and 5,040 familiar balls).",
        ),
        (
            reach("too_few", None, None, None, rare=6),
            "**Rarely met balls**: not enough balls yet (6 rare and 5,040 familiar balls; it takes 30 of each, in 6 "
            "sessions).",
        ),
        (
            reach("too_few", None, None, None, rare=0),
            "**Rarely met balls**: no wanted combination was met clearly more rarely than the others.",
        ),
        (None, "**Rarely met balls**: no wanted combination was met clearly more rarely than the others."),
    ],
    ids=lambda value: getattr(value, "verdict", ""),
)
def test_each_verdict_on_rarely_met_balls_has_its_words(row: RarelyMetRow | None, said: str):
    assert wording_judged.rarely_met(row, SETTINGS) == said


def sitting(verdict: str, **known: Any) -> SittingRow:
    """The third sitting of a test set, of 120 balls."""
    row = {"verdict": verdict, "session_date": date(2026, 11, 19), "days_since_first": 17, "balls": 120, "rate": 0.82}
    change = {"change": 0.30, "change_low": 0.08, "change_high": 0.49, "detectable_change": 0.21}
    return some(SittingRow, **row | change | {"balls_needed": 1128.5, "sittings_needed": 10} | known)


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (
            sitting("better"),
            "**Better**, 17 days after the first: 30 more in 100 (range 8 to 49 more in 100). The smallest change that "
            "these balls could tell from chance is 21 in 100; to see one of 10 in 100 it takes about 10 "
            "sittings like these before, on days of their own, and as many after.",
        ),
        (
            sitting("worse", change=-0.3, change_low=-0.49, change_high=-0.08),
            "**Worse**, 17 days after the first: 30 fewer in 100 (range 8 to 49 fewer in 100).",
        ),
        (
            sitting("not_clear", change=0.1, change_low=-0.14, change_high=0.33),
            "**Not clear**, 17 days after the first: 10 more in 100 (range 14 fewer to 33 more in 100).",
        ),
        (
            sitting("first", change=None),
            "First sitting on 19 November: 82 in 100 of 120 balls. Feed the same balls again some days later.",
        ),
        (
            sitting("other_test", change=None),
            "19 November: 82 in 100 of 120 balls, 17 days after the first, but with other kinds of ball than the first "
            "sitting: not comparable.",
        ),
    ],
    ids=lambda value: getattr(value, "verdict", ""),
)
def test_each_verdict_on_a_test_set_has_its_words(row: SittingRow, said: str):
    assert wording_judged.probe(row, SETTINGS, TODAY).startswith(said)


@pytest.mark.parametrize(
    ("days", "said"),
    [(0, "on the day of the first sitting:"), (1, "1 day after the first:"), (2, "2 days after the first:")],
)
def test_a_sitting_says_how_long_after_the_first_it_was(days: int, said: str):
    assert said in wording_judged.probe(sitting("better", days_since_first=days), SETTINGS, TODAY)


@pytest.mark.parametrize("jargon", NO_JARGON)
def test_a_coach_reads_no_jargon(jargon: str):
    said = [
        *(wording_judged.trend(trend(verdict, 0.1, 0.0, 0.2), SETTINGS, TODAY) for verdict in ("rising", "not_clear")),
        wording_judged.then_and_now(compared(0.24), 28, TODAY),
        wording_judged.cost_of_a_change(cost("falls", 0.25, 0.18, 0.29), SETTINGS),
        wording_judged.rarely_met(reach("reaches", -0.04, -0.09, 0.01), SETTINGS),
        wording_judged.probe(sitting("better"), SETTINGS, TODAY),
    ]

    assert jargon not in " ".join(said).lower()
