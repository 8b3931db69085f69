"""The slope over sessions, against Crowder's seeds, the shuttle launches and statsmodels; and the verdict in words."""

from dataclasses import replace

import numpy as np
import pytest
import statsmodels.api as sm
from scipy import special, stats

from models.slopes import fit_slopes, gather_sessions
from models.trend import SlopeRanges, TrendSettings, change_verdict, dispersions, judge_slopes, trends
from tests.models.published import DAMAGED_OF_6, LAUNCH_F, SEEDS_73, SEEDS_75

ANY_LENGTH = TrendSettings(least_sessions=3, least_balls=1)

# Invented: twelve sessions of forty balls, smoother than chance allows.
STEADY_RISER = [22, 24, 23, 25, 26, 25, 27, 28, 27, 29, 30, 29]


def one_trend(time, good, balls, **more):
    return trends(np.zeros(len(good)), time, good, balls, **more)


def library_fit(time, good, balls):
    """The only right call: the rate, with the balls as variance weights."""
    rate = np.asarray(good) / np.asarray(balls)
    weights = np.asarray(balls, dtype=float)
    return sm.GLM(rate, sm.add_constant(time), sm.families.Binomial(), var_weights=weights).fit(scale="X2")


@pytest.mark.parametrize(("plates", "slope"), [(SEEDS_73, 0.5401), (SEEDS_75, 0.5401 + 0.7781)], ids=["73", "75"])
def test_the_effect_of_the_extract_is_the_published_one(plates, slope):
    """Crowder (1978): .54, and .54 + .78 for the other seed; the model with both factors splits into two slopes."""
    good, balls, extract = plates

    assert one_trend(extract, good, balls, settings=ANY_LENGTH).slope[0] == pytest.approx(slope, abs=1e-4)


def test_the_spread_between_plates_is_the_published_one():
    """Crowder (1978): chi-square over its 21 - 4 degrees of freedom is 1.861832, the error of .5401 is .3409.

    Given counts in two columns, statsmodels' scale="X2" finds .0978 and errors four times too small.
    """
    fits = [
        fit_slopes(gather_sessions(np.zeros(len(good)), extract, good, balls, np.zeros(len(good))))
        for good, balls, extract in (SEEDS_73, SEEDS_75)
    ]
    dispersion = sum(fit.pearson[0] for fit in fits) / 17

    assert dispersion == pytest.approx(1.861832, abs=1e-5)
    half_stretch = 0.5
    error = np.sqrt(dispersion * fits[0].slope_variance[0]) / half_stretch
    assert error == pytest.approx(0.3409, abs=1e-4)


def test_damage_by_temperature_is_the_published_slope():
    """Dalal, Fowlkes & Hoadley (1989): -.1156 per degree on six rings (from memory)."""
    launches = one_trend(LAUNCH_F, DAMAGED_OF_6, np.full(23, 6))

    assert launches.slope[0] == pytest.approx(-0.115601, abs=1e-5)
    any_damage = np.minimum(DAMAGED_OF_6, 1)
    assert one_trend(LAUNCH_F, any_damage, np.ones(23), settings=ANY_LENGTH).slope[0] == pytest.approx(
        -0.232163, abs=1e-5
    )


def test_many_players_at_once_get_what_the_library_gives_each():
    """statsmodels' quasi-binomial, for uneven sessions and time in days."""
    draw = np.random.default_rng(11)
    player = np.repeat(np.arange(12), 9)
    days, balls = draw.integers(0, 700, 108), draw.integers(20, 60, 108)
    good = draw.binomial(balls, draw.beta(6, 3, 108))

    ours = trends(player, days, good, balls)

    for number in range(12):
        library = library_fit(days[player == number], good[player == number], balls[player == number])
        assert library.params[1] == pytest.approx(ours.slope[number], rel=1e-6)
        assert max(library.scale, 1.0) == pytest.approx(ours.dispersion[number], rel=1e-6)
        error = library.bse[1] * np.sqrt(max(1.0, 1 / library.scale))
        half = (ours.slope_high[number] - ours.slope_low[number]) / 2
        assert error * 2.364624 == pytest.approx(half, rel=1e-5)  # Student's t, 7 degrees of freedom, tables


def test_sessions_smoother_than_chance_do_not_make_a_trend_surer():
    """Unfloored, the spread of .0708 would turn p = .016 into 2e-06."""
    riser = one_trend(np.linspace(0, 1, 12), STEADY_RISER, np.full(12, 40))
    library = library_fit(np.linspace(0, 1, 12), STEADY_RISER, np.full(12, 40))

    assert library.scale == pytest.approx(0.0708, abs=1e-4)
    assert riser.dispersion[0] == 1
    assert riser.slope[0] == pytest.approx(0.822430, abs=1e-6)
    assert 0.005 < riser.p_value[0] < 0.05
    assert riser.verdict == ["rising"]


def test_a_rise_is_told_in_points_from_first_session_to_last():
    """The riser goes from about 56% to about 75%."""
    riser = one_trend(np.linspace(0, 1, 12), STEADY_RISER, np.full(12, 40))

    assert riser.change[0] == pytest.approx(0.19, abs=0.01)
    assert riser.change_low[0] < riser.change[0] < riser.change_high[0]
    assert np.sign(riser.change_low[0]) == np.sign(riser.slope_low[0])


@pytest.mark.parametrize(
    ("good", "balls", "verdict"),
    [
        ([30, 29, 28, 26, 25, 24, 23, 22], 40, "falling"),
        ([28, 30, 27, 29, 30, 28, 29, 28], 40, "not_clear"),
        ([280, 285, 278, 282, 284, 279, 281, 283], 400, "steady"),
        ([40, 30, 10, 35, 12, 38, 20, 31], 40, "not_clear"),
        ([22, 24, 26, 28, 30], 40, "too_few"),
        ([7, 8, 8, 9, 9, 10], 10, "too_few"),
    ],
    ids=["a clear fall", "flat but few balls", "flat and many balls", "up and down", "five sessions", "sixty balls"],
)
def test_the_verdict_is_the_word_a_coach_would_use(good, balls, verdict):
    assert one_trend(np.arange(len(good)), good, np.full(len(good), balls)).verdict == [verdict]


def test_a_player_who_never_misses_is_steady_and_not_without_an_answer():
    """All hits have no maximum likelihood; neither have hits that follow misses without a break."""
    perfect = one_trend(np.arange(12), np.full(12, 40), np.full(12, 40))

    assert perfect.verdict == ["steady"]
    assert perfect.slope[0] == pytest.approx(0, abs=1e-6)
    turned = one_trend(np.arange(8), [0, 0, 0, 0, 40, 40, 40, 40], np.full(8, 40))
    assert np.isfinite(turned.slope_high[0])
    assert turned.slope[0] > 0


def test_a_perfect_player_does_not_change_the_answer_for_others():
    alone = one_trend(np.linspace(0, 1, 12), STEADY_RISER, np.full(12, 40))
    player = np.repeat([1, 2], 12)
    good = np.concatenate([np.full(12, 40), STEADY_RISER])

    beside = trends(player, np.tile(np.linspace(0, 1, 12), 2), good, np.full(24, 40))

    assert beside.slope[1] == pytest.approx(alone.slope[0], abs=1e-9)


def test_an_easier_mix_does_not_pass_for_progress():
    """Success rises from 50% to 75% only because the balls grow easier: the club does the same on them."""
    expected = np.linspace(0.50, 0.75, 12)
    good, balls = np.round(expected * 200), np.full(12, 200)

    assert one_trend(np.arange(12), good, balls).verdict == ["rising"]
    assert one_trend(np.arange(12), good, balls, expected_rate=expected).verdict == ["steady"]


def test_six_sessions_on_one_day_have_no_trend():
    assert one_trend(np.zeros(6), [20, 21, 22, 23, 24, 25], np.full(6, 40)).verdict == ["too_few"]


def test_a_session_without_balls_is_no_session():
    with_empty = one_trend(np.arange(6), [20, 21, 0, 23, 24, 25], [40, 40, 0, 40, 40, 40])

    assert with_empty.sessions.tolist() == [5]
    assert with_empty.verdict == ["too_few"]


def test_a_newcomer_with_four_balls_gets_no_figures():
    newcomer = one_trend([0], [3], [4])

    assert newcomer.verdict == ["too_few"]
    assert np.isnan(newcomer.slope[0])
    assert newcomer.balls[0] == 4


def test_sessions_of_one_ball_beside_sessions_of_thousands_have_a_sound_answer_or_none():
    """Whole steps of Newton's method run away on one such group in five; no range may be of no width."""
    draw = np.random.default_rng(8)
    player = np.repeat(np.arange(1000), 8)
    balls = draw.choice([1, 2, 5, 20, 100, 2000], 8000)
    good = draw.binomial(balls, draw.choice([0.0, 0.01, 0.5, 0.99, 1.0], 8000))
    expected = draw.uniform(0.02, 0.98, 8000)

    told = trends(player, draw.permuted(np.tile(np.arange(8), (1000, 1)), axis=1).ravel(), good, balls, expected)

    is_told = np.array([verdict != "too_few" for verdict in told.verdict])
    assert np.array_equal(is_told, np.isfinite(told.slope))
    assert np.all(told.slope_low[is_told] < told.slope_high[is_told])
    assert np.all(np.isfinite(told.dispersion) & (told.dispersion >= 1))
    assert is_told.sum() > 0.95 * (told.balls >= 120).sum()


def test_a_change_on_unequal_balls_is_that_on_the_players_usual_ones():
    """Sessions of unlike size and difficulty, not evenly spread in time: by statsmodels' logistic line with offset."""
    draw = np.random.default_rng(4)
    time = np.array([100.0, 101, 103, 104, 109, 113, 114, 120])
    balls = np.array([90.0, 20, 45, 10, 60, 15, 30, 25])
    expected = np.array([0.3, 0.8, 0.5, 0.6, 0.7, 0.4, 0.9, 0.75])
    good = draw.binomial(balls.astype(int), special.expit(special.logit(expected) + 0.3 + 0.04 * (time - 110)))
    offset = special.logit(expected)
    fit = sm.GLM(good / balls, sm.add_constant(time), sm.families.Binomial(), var_weights=balls, offset=offset).fit(
        scale="X2"
    )

    (found,) = [one_trend(time, good, balls, expected_rate=expected)]

    usual = np.average(offset, weights=balls)
    ends = special.expit(usual + fit.predict([[1, 100.0], [1, 120.0]], which="linear"))
    assert found.change[0] == pytest.approx(ends[1] - ends[0], abs=1e-6)
    assert found.dispersion[0] == pytest.approx(max(fit.scale, 1.0))
    error = fit.bse[1] * np.sqrt(max(1.0, 1 / fit.scale))
    assert found.p_value[0] == pytest.approx(2 * stats.t.sf(abs(fit.params[1]) / error, 6), rel=1e-5)


def test_three_sessions_leave_one_degree_of_freedom():
    time, good, balls = np.arange(3.0), np.array([5, 18, 12]), np.full(3, 20)
    fit = library_fit(time, good, balls)

    found = one_trend(time, good, balls, settings=ANY_LENGTH)

    assert found.dispersion[0] == pytest.approx(fit.scale)
    assert found.p_value[0] == pytest.approx(2 * stats.t.sf(abs(fit.params[1] / fit.bse[1]), 1), rel=1e-5)


def test_where_there_is_no_maximum_one_hit_and_one_miss_more_are_given_by_the_share_of_each_session():
    """All missed at first, all good at last: the slope would be without end. By statsmodels on counts so made up."""
    time, balls = np.arange(6.0), np.array([10.0, 30, 20, 40, 20, 30])
    good = np.where(time < 3, 0, balls)
    share = 2 * balls / balls.sum()
    library = library_fit(time, good + share / 2, balls + share)

    rows = gather_sessions(np.zeros(6), time, good, balls, np.zeros(6))
    fit = fit_slopes(rows)

    assert fit.has_converged.all()
    assert fit.slope[0] / rows.half_stretch[0] == pytest.approx(library.params[1], rel=1e-5)


def test_sessions_and_balls_that_are_just_enough_are_enough_and_groups_keep_their_numbers():
    seven, three = np.repeat([7, 3], 6), TrendSettings(least_sessions=6, least_balls=120)
    columns = np.tile(np.arange(6.0), 2), np.tile([10, 12, 14, 11, 13, 12], 2), np.full(12, 20)

    found = trends(seven, *columns, settings=three)

    assert found.group.tolist() == [3, 7]
    assert "too_few" not in found.verdict
    for more in (TrendSettings(least_sessions=7), TrendSettings(least_balls=121)):
        assert trends(seven, *columns, settings=more).verdict == ["too_few", "too_few"]


def test_where_no_line_was_found_the_spread_is_taken_for_chance():
    rows = gather_sessions(np.zeros(6), np.arange(6.0), np.array([2, 18, 9, 11, 4, 16]), np.full(6, 20), np.zeros(6))
    fit = fit_slopes(rows)

    assert dispersions(rows, fit)[0] > 2
    assert dispersions(rows, replace(fit, has_converged=np.array([False]))).tolist() == [1.0]


def test_sessions_of_one_moment_have_a_spread_and_no_slope():
    """Chi-square of six rates about their mean, over four degrees of freedom."""
    good, balls = np.array([2, 18, 9, 11, 4, 16]), np.full(6, 20)
    rate = good.sum() / 120
    spread = np.sum((good - 20 * rate) ** 2) / (20 * rate * (1 - rate)) / 4

    found = one_trend(np.full(6, 5.0), good, balls)

    assert found.dispersion[0] == pytest.approx(spread)
    assert (found.verdict, np.isnan(found.slope[0])) == (["too_few"], True)


@pytest.mark.parametrize(
    ("low", "high", "verdict"),
    [
        (-0.1, 0.05, "not_clear"),
        (-0.05, 0.1, "not_clear"),
        (-0.09, 0.09, "steady"),
        (0.0, 0.2, "not_clear"),
        (0.01, 0.2, "rising"),
        (-0.2, 0.0, "not_clear"),
        (-0.2, -0.01, "falling"),
        (np.nan, np.nan, "too_few"),
    ],
)
def test_a_limit_that_is_just_reached_is_not_passed(low, high, verdict):
    assert change_verdict(low, high, 0.1) == verdict


@pytest.mark.parametrize(
    ("low", "high", "share", "verdict"),
    [
        (-1.0, 1.0, 0.6, "balls_changed"),
        (-1.0, 1.0, 0.5, "not_clear"),
        (0.3, 1.0, 0.9, "rising"),
        (-1.0, -0.3, 0.9, "falling"),
        (-0.01, 0.01, 0.9, "steady"),
    ],
)
def test_what_is_not_clear_because_the_balls_are_not_known_says_so(low, high, share, verdict):
    """More than half of the doubt; whatever is clear in spite of it stays so."""
    rows = gather_sessions(np.zeros(6), np.arange(6.0), np.full(6, 14), np.full(6, 20), np.zeros(6))
    one = np.ones(1)
    ranges = SlopeRanges(0.8 * one, (low + high) / 2 * one, low * one, high * one, one, share * one)

    assert judge_slopes(np.array([4]), rows, fit_slopes(rows), ranges, TrendSettings()).verdict == [verdict]
