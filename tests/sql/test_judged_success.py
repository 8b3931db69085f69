"""Rates, their ranges and how they move, as the judged tables publish them: small clubs whose answers are known."""

from datetime import timedelta

import numpy as np
import pytest
import statsmodels.api as sm
from scipy import stats
from statsmodels.stats.proportion import proportion_confint

from tests.sql.clubs import Club, Row
from tests.sql.judged_clubs import BALLS_ALONE, FIRST_WEEK, a_judged_club, in_week

GRID = {"depth": ("back", "middle", "near")}
RHO = 0.05


def of(club: Club, table: str, player: str, where: str = "true") -> list[Row]:
    return club.rows(table, where=f"player_id = '{player}' and {where}")


BLOCKS = {
    "one long block": [(300, 240)],
    "ten blocks": [(30, 24)] * 10,
    "ten sessions": [(30, 24)] * 10,
    "nineteen balls": [(19, 15)],
    "all missed": [(40, 0)],
    "all good": [(40, 40)],
}


@pytest.fixture(scope="module")
def rated():
    """One week, each player told by their blocks of balls and good balls.

    Balls of a block are .05 alike and, in a club so young, those of one session half as much; only the ten sessions
    are of ten.
    """
    lines = [
        {"player": player.replace(" ", "_"), "block": block, "balls": balls, "good": good}
        | {"session": str(block) if player == "ten sessions" else "1"}
        for player, blocks in BLOCKS.items()
        for block, (balls, good) in enumerate(blocks, start=1)
    ]
    with a_judged_club(GRID, lines, assumed_likeness=RHO, likeness_comparisons=10_000) as club:
        yield club


@pytest.mark.parametrize(
    ("player", "effect"),
    [
        ("one_long_block", 1 + 299 * RHO),
        ("ten_blocks", 1 + 29 * RHO + 270 * RHO / 2),
        ("ten_sessions", 1 + 29 * RHO),
        ("all_missed", 1 + 39 * RHO),
    ],
)
def test_the_range_of_a_rate_is_wilsons_on_as_many_balls_as_the_blocks_are_worth(rated, player, effect):
    """Kish (1965): an effective ball is worth 1 + (m - 1) x .05 + (s - m) x .025 balls; statsmodels gives the range."""
    (row,) = of(rated, "report.success", player, "cut = 'all'")
    worth = row["balls"] / effect

    assert row["effective_balls"] == pytest.approx(worth)
    library = proportion_confint(row["rate"] * worth, worth, method="wilson")
    assert (row["low"], row["high"]) == pytest.approx(library, abs=1e-12)


def test_nineteen_balls_have_a_pulled_rate_and_no_rate_of_their_own(rated):
    """The setting rate_balls is 20."""
    (row,) = of(rated, "report.success", "nineteen_balls", "cut = 'all'")

    assert (row["rate"], row["low"], row["high"]) == (None, None, None)
    assert (row["balls"], row["good"]) == (19, 15)
    assert 0 < row["shrunk_low"] < row["shrunk_rate"] < row["shrunk_high"] < 1


def test_where_every_ball_went_the_same_way_the_range_ends_there_exactly(rated):
    (missed,), (good,) = (of(rated, "report.success", player, "cut = 'all'") for player in ("all_missed", "all_good"))

    assert (missed["rate"], missed["low"], good["rate"], good["high"]) == (0, 0, 1, 1)


def test_of_two_players_with_one_rate_the_one_whose_balls_tell_less_is_pulled_further(rated):
    """All balls of a player are pulled to the level of the club, which lies lower here."""
    (long,), (short,) = (
        of(rated, "report.success", player, "cut = 'all'") for player in ("one_long_block", "ten_blocks")
    )

    assert long["rate"] == short["rate"] == 0.8
    assert long["shrunk_rate"] < short["shrunk_rate"] < 0.8
    assert long["shrunk_high"] - long["shrunk_low"] > short["shrunk_high"] - short["shrunk_low"]


def test_rates_on_the_wanted_mix_have_no_range_under_twenty_balls_either(rated):
    (row,) = of(rated, "report.standard_success", "nineteen_balls")

    assert (row["balls"], row["rate"], row["low"], row["high"]) == (19, None, None, None)
    assert row["target_share_seen"] == pytest.approx(1 / 3)


# Hard balls come near the net, easy ones from the back: so "mate" says. Usual ones come from the middle.
EASY, USUAL, HARD = {"setup": "B"}, {"setup": "M"}, {"setup": "N"}
WEEKS = range(12)
OF_THE_CLUB = 5 * (12 - 2)
"""Degrees of freedom: the form of days is told by five players' sessions beyond their lines."""
RISER = (22, 24, 23, 25, 26, 25, 27, 28, 27, 29, 30, 29)


def _season() -> list[Row]:
    mate = [
        {**in_week(w), "player": "mate", **kind}
        for w in WEEKS
        for kind in (EASY | {"balls": 90, "good": 72}, HARD | {"balls": 90, "good": 45})
    ]
    riser = [{**in_week(w), "player": "riser", **USUAL, "balls": 40, "good": good} for w, good in enumerate(RISER)]
    faller = [
        {**in_week(w), "player": "faller", **USUAL, "balls": 40, "good": good} for w, good in enumerate(RISER[::-1])
    ]
    lighter = [
        {**in_week(w), "player": "lighter", **kind}
        for w in WEEKS
        for kind in (
            EASY | {"balls": 10 + 5 * w, "good": 8 + 4 * w},
            HARD | {"balls": 70 - 5 * w, "good": 35 - 5 * w // 2},
        )
    ]
    steady = [{**in_week(w), "player": "steady", **USUAL, "balls": 400, "good": 280 + (-1) ** w} for w in WEEKS]
    pausing = [{**in_week(w), "player": "pausing", **USUAL, "balls": 40, "good": 30} for w in (0, 1, 9, 10)]
    newcomer = [{**in_week(11), "player": "newcomer", **USUAL, "balls": 4, "good": 3}]
    return [*mate, *riser, *faller, *lighter, *steady, *pausing, *newcomer]


@pytest.fixture(scope="module")
def season():
    with a_judged_club(GRID, _season(), **BALLS_ALONE) as club:
        yield club


def trend_of(club: Club, player: str) -> Row:
    (row,) = of(club, "report.trend", player, "cut = 'all'")
    return row


def change_of(club: Club, player: str) -> Row:
    return of(club, "report.then_and_now", player)[-1]


def test_the_verdicts_of_a_season_are_the_words_a_coach_would_use(season):
    verdicts = {
        player: (
            trend_of(season, player)["verdict"],
            [row["verdict"] for row in of(season, "report.then_and_now", player)][-1:],
        )
        for player in ("riser", "faller", "steady", "pausing", "newcomer")
    }

    assert verdicts == {
        "riser": ("rising", ["rising"]),
        "faller": ("falling", ["falling"]),
        "steady": ("steady", ["steady"]),
        "pausing": ("too_few", ["not_clear"]),
        "newcomer": ("too_few", []),
    }


def test_the_slope_of_a_trend_is_per_week_and_that_of_the_library(season):
    """statsmodels' logistic regression over weeks; sessions smoother than chance do not shorten the range."""
    library = sm.GLM(
        np.array(RISER) / 40, sm.add_constant(np.arange(12.0)), sm.families.Binomial(), var_weights=np.full(12, 40.0)
    ).fit(scale=1.0)

    row = trend_of(season, "riser")

    half = stats.t.ppf(0.975, OF_THE_CLUB) * library.bse[1]
    assert (row["slope"], row["dispersion"]) == pytest.approx((library.params[1], 1.0), rel=1e-7)
    assert (row["slope_low"], row["slope_high"]) == pytest.approx((row["slope"] - half, row["slope"] + half), rel=1e-6)
    assert row["p_value"] == pytest.approx(2 * stats.t.sf(library.params[1] / library.bse[1], OF_THE_CLUB), rel=1e-6)
    assert (row["sessions"], row["balls"]) == (12, 480)
    assert (row["first_on"], row["last_on"]) == (FIRST_WEEK, FIRST_WEEK + timedelta(weeks=11))


def test_a_mix_that_grows_easier_passes_neither_for_a_trend_nor_for_a_change(season):
    """The plain rate rises from .54 to .76; on each kind of ball nothing changes."""
    plain = [row["rate"] for row in of(season, "report.success", "lighter", "cut = 'all'")]
    change = change_of(season, "lighter")

    assert plain[-1] - plain[0] > 0.15
    assert trend_of(season, "lighter")["verdict"] in ("steady", "not_clear")
    assert abs(trend_of(season, "lighter")["change"]) < 0.05
    assert change["change"] == pytest.approx(0, abs=0.01)
    assert change["verdict"] in ("steady", "not_clear")
    assert change["target_share_seen"] == pytest.approx(2 / 3)


def test_the_trend_is_held_against_how_hard_the_same_balls_are_for_everybody(season):
    """statsmodels' logistic regression of the whole club: a level and a slope of each player, an effect of each kind.

    The published slope leans a little on the prior that kinds are not worlds apart.
    """
    players = ("mate", "lighter", "steady", "riser", "faller")
    lines = [line for line in _season() if line["player"] in players]
    week = np.array([(line["session_date"] - FIRST_WEEK).days / 7 for line in lines])
    is_player = np.array([[line["player"] == name for name in players] for line in lines])
    is_easy = np.array([[line["setup"] == "B"] for line in lines])
    balls, good = (np.array([line[name] for line in lines], dtype=float) for name in ("balls", "good"))

    library = sm.GLM(
        good / balls,
        np.hstack([is_player, is_player * week[:, None], is_easy]).astype(float),
        sm.families.Binomial(),
        var_weights=balls,
    ).fit()

    assert trend_of(season, "lighter")["slope"] == pytest.approx(library.params[6], abs=0.002)


def test_then_is_the_first_whole_window_and_never_overlaps_now(season):
    """Four weeks make a window: the first ends with the fourth week, the first beside it with the eighth."""
    rows = of(season, "report.then_and_now", "riser")

    assert {row["then_week"] for row in rows} == {FIRST_WEEK + timedelta(weeks=3)}
    assert [row["week"] for row in rows] == [FIRST_WEEK + timedelta(weeks=number) for number in range(7, 12)]
    assert [rows[-1][name] for name in ("then_balls", "balls", "then_rate", "rate")] == pytest.approx(
        [160, 160, 94 / 160, 115 / 160]
    )


def test_weeks_without_a_log_are_no_window_to_compare(season):
    """Two weeks of training, seven without, two more: compared are the weeks whose windows hold balls."""
    weeks = [(row["week"] - FIRST_WEEK).days // 7 for row in of(season, "report.then_and_now", "pausing")]

    assert weeks == [9, 10, 11]


def test_a_newcomer_with_four_balls_gets_counts_and_no_figures(season):
    trend = trend_of(season, "newcomer")
    (success,) = of(season, "report.success", "newcomer", "cut = 'all'")
    (standard,) = of(season, "report.standard_success", "newcomer")

    assert (trend["balls"], trend["slope"], trend["p_value"], trend["change"]) == (4, None, None, None)
    assert (success["balls"], success["rate"], standard["rate"]) == (4, None, None)
