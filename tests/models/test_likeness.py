"""How alike balls of a block and of a session are: the litters of Weil (1970), and nested analysis of variance."""

import numpy as np
import pandas as pd
import pytest
from statsmodels.formula.api import ols
from statsmodels.stats.anova import anova_lm

from models.likeness import MetBlocks, club_correlation
from tests.models.published import CONTROL_LITTERS, TREATED_LITTERS
from tests.simulations.balls import block_hits


def each_its_own_session(kind, good, balls):
    every = np.arange(len(balls))
    return MetBlocks(np.zeros(len(balls)), kind, every, every, good, np.zeros(len(balls)), balls)


def told(log):
    return club_correlation(log, least_freedom=1)


def correlation_within(kind, good, balls):
    return told(each_its_own_session(kind, good, balls)).rho


@pytest.mark.parametrize(
    ("litters", "rho"), [(CONTROL_LITTERS, 0.029091), (TREATED_LITTERS, 0.372135)], ids=["control", "treated"]
)
def test_the_correlation_within_litters_is_that_of_the_analysis_of_variance(litters, rho):
    """(MSB - MSW) / (MSB + (n0 - 1) MSW), computed from the published litters."""
    good, balls = litters

    assert correlation_within(np.zeros(16), good, balls) == pytest.approx(rho, abs=1e-6)


def test_an_easy_and_a_hard_kind_of_ball_do_not_pass_for_resemblance():
    """Nothing but the kinds differs: no correlation within them, a high one across them."""
    good, balls = np.array([9, 9, 9, 9, 2, 2, 2, 2]), np.full(8, 10)

    assert correlation_within([1, 1, 1, 1, 2, 2, 2, 2], good, balls) == 0
    assert correlation_within(np.zeros(8), good, balls) > 0.4


def test_balls_that_balance_each_other_within_a_block_have_no_negative_correlation():
    assert correlation_within(np.zeros(4), [5, 5, 5, 5], [10, 10, 10, 10]) == 0


def test_blocks_without_balls_change_nothing():
    good, balls = TREATED_LITTERS
    with_empty_blocks = told(each_its_own_session(np.zeros(18), [0, *good, 0], [0, *balls, 0]))

    assert with_empty_blocks == told(each_its_own_session(np.zeros(16), good, balls))


def nested(hits, balls=20):
    """Hits (stretches, sessions, blocks) of one kind of ball, every block of as many balls."""
    stretch, session, block = np.indices(hits.shape).reshape(3, -1)
    every = np.full(hits.size, balls)
    return MetBlocks(stretch, np.zeros(hits.size), session, block, hits.ravel(), every / 2, every)


def by_nested_analysis_of_variance(hits, balls=20):
    """statsmodels' mean squares of sessions, of blocks in sessions and of balls, in the textbook's closed form.

    Sokal & Rohlf (1995), Biometry, ch. 10 (from memory): variance of blocks (MSB - MSE) / n, of sessions (MSS - MSB) /
    (b n), for b blocks of n balls in each session; both as parts of the three variances together.
    """
    stretch, session, block = np.indices(hits.shape).reshape(3, -1)
    cells = pd.DataFrame({"stretch": stretch, "session": session, "block": block}).loc[
        np.repeat(range(hits.size), balls)
    ]
    cells["good"] = np.concatenate([np.arange(balls) < good for good in hits.ravel()]).astype(float)
    table = anova_lm(ols("good ~ C(stretch) + C(stretch):C(session) + C(stretch):C(session):C(block)", cells).fit())
    of_sessions, of_blocks, of_balls = table["mean_sq"].iloc[1:4]
    block_share = (of_blocks - of_balls) / balls
    day_share = (of_sessions - of_blocks) / (hits.shape[2] * balls)
    whole = of_balls + block_share + day_share
    return (block_share + day_share) / whole, day_share / whole


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_on_balanced_sessions_both_correlations_are_those_of_nested_analysis_of_variance(seed):
    draw = np.random.default_rng(seed)
    day = draw.beta(6, 4, (3, 4, 1))
    hits = block_hits(draw, np.repeat(day, 3, axis=2), 0.1, np.full((3, 4, 3), 20))
    block, session = by_nested_analysis_of_variance(hits)

    found = told(nested(hits))

    assert session > 0
    assert block > session
    assert (found.rho, found.rho_session) == pytest.approx((block, session), abs=1e-12)
    assert (found.freedom, found.session_freedom) == (3 * 11, 3 * 3)
    assert not found.session_is_assumed


def test_blocks_of_other_kinds_of_ball_tell_the_form_of_the_day_too():
    """No kind is met twice in a session: what they share can only be seen across kinds. Large numbers: .05 and .10."""
    draw = np.random.default_rng(8)
    shape = (2000, 4, 3)
    day = block_hits(draw, 0.65, 0.05, np.full(shape[:2], 1_000_000)) / 1_000_000
    hits = block_hits(draw, np.repeat(day[..., None], 3, axis=2), 0.05 / 0.95, np.full(shape, 30))
    stretch, session, kind = np.indices(shape).reshape(3, -1)

    every = np.full(hits.size, 30)
    found = told(MetBlocks(stretch, kind, session, kind, hits.ravel(), every / 2, every))

    assert (found.rho, found.rho_session) == pytest.approx((0.10, 0.05), abs=0.004)


def test_unequal_blocks_of_mixed_kinds_give_the_planted_correlations():
    """Blocks of 5 to 45 balls, of two kinds each out of four unlike ones, one to four to a session: .12 and .06."""
    draw = np.random.default_rng(9)
    stretches, sessions = 1500, 4
    level = draw.choice([0.5, 0.7], (stretches, 4))
    day, rows = draw.normal(0, 1, (stretches, sessions)), []
    for stretch, session in np.ndindex(stretches, sessions):
        for block in range(draw.integers(1, 5)):
            luck = day[stretch, session] + draw.normal()
            for kind in draw.choice(4, 2, replace=False):
                rate, balls = level[stretch, kind], draw.integers(5, 46)
                true_rate = rate + np.sqrt(0.06 * rate * (1 - rate)) * luck
                rows.append(
                    (stretch, kind, session, block, draw.binomial(balls, np.clip(true_rate, 0, 1)), rate * balls, balls)
                )

    found = told(MetBlocks(*np.array(rows).T))

    assert (found.rho, found.rho_session) == pytest.approx((0.12, 0.06), abs=0.008)


def test_days_of_easy_and_of_hard_balls_do_not_pass_for_form():
    """Nothing but the kinds differs, one a day, and club mates know it; who has no club mates cannot tell."""
    draw = np.random.default_rng(10)
    stretch, session, block = np.indices((200, 4, 3)).reshape(3, -1)
    rate, balls = np.where(session % 2, 0.5, 0.8), np.full(stretch.size, 30)
    days = (stretch, session % 2, session, block, draw.binomial(balls, rate))

    found, alone = told(MetBlocks(*days, rate * balls, balls)), told(MetBlocks(*days, balls / 2, balls))

    assert (found.rho, found.rho_session) == pytest.approx((0, 0), abs=0.004)
    assert alone.rho_session > 0.05


def test_days_without_a_form_of_their_own_have_no_correlation_of_sessions():
    """Every session has the same total: blocks differ, sessions less than by chance."""
    hits = np.array([[[12, 18], [18, 12], [16, 14], [14, 16]]] * 3)

    found = told(nested(hits))

    assert (found.rho_session, found.session_is_assumed) == (0, False)
    assert found.rho > 0


def by_products_of_balls(hits, balls):
    """The variances of days and of single balls, from whole matrices, if blocks have no luck of their own.

    Residuals from the mean of their stretch, of two balls in different blocks of one session, multiplied and added up:
    set equal to what is expected of them when a ball varies alone and with its day.
    """
    stretch, session, block = (
        np.repeat(column.ravel(), balls) for column in np.indices((hits.shape[0], hits.shape[1], hits.shape[2]))
    )
    ball = np.concatenate([np.arange(balls) < good for good in hits.ravel()]).astype(float)
    in_stretch, in_day = stretch[:, None] == stretch, (stretch[:, None] == stretch) & (session[:, None] == session)
    aside = np.eye(len(ball)) - in_stretch / in_stretch.sum(axis=1)
    pairs = aside @ (in_day & (block[:, None] != block)) @ aside
    alone = np.mean(hits / balls * (1 - hits / balls)) * balls / (balls - 1)
    return (ball @ pairs @ ball - alone * np.trace(pairs)) / np.sum(pairs * in_day), alone


def test_the_form_of_the_day_is_never_more_than_what_a_block_shares():
    """Blocks of a day are more alike than chance would have it: the day is all that is left."""
    hits = np.array([[[18, 18], [8, 8], [15, 15], [10, 10]]] * 3)

    found = told(nested(hits))

    day, ball = by_products_of_balls(hits, 20)
    assert found.rho_session == pytest.approx(found.rho)
    assert found.rho == pytest.approx(day / (day + ball))


def test_until_sessions_can_be_compared_half_of_the_likeness_is_taken_to_be_the_form_of_the_day():
    """Each litter is a session of its own: fifteen comparisons between blocks, none between sessions."""
    found = told(each_its_own_session(np.zeros(16), *TREATED_LITTERS))

    assert (found.freedom, found.session_freedom, found.session_is_assumed) == (15, 0, True)
    assert found.rho_session == pytest.approx(0.372135 / 2, abs=1e-6)


def test_blocks_of_one_session_alone_hide_the_form_of_their_day():
    """They show no more than their own luck v; with a day assumed as large, a block shares 2 v of v + v + single."""
    good, balls = TREATED_LITTERS
    own = correlation_within(np.zeros(16), good, balls)

    one_session = (np.zeros(16), np.zeros(16), np.zeros(16), np.arange(16))
    found = told(MetBlocks(*one_session, good, np.zeros(16), balls))

    assert found.rho == pytest.approx(2 * own / (1 + own))
    assert found.rho_session == pytest.approx(own / (1 + own))


def test_a_young_club_gets_its_setting_and_is_told_so():
    """Sixteen blocks allow fifteen comparisons, fewer than the setting asks for."""
    found = club_correlation(each_its_own_session(np.zeros(16), *TREATED_LITTERS), assumed_rho=0.07)

    assert (found.rho, found.freedom, found.is_assumed) == (0.07, 15, True)
    assert (found.rho_session, found.session_freedom, found.session_is_assumed) == (0.035, 0, True)


def test_comparisons_that_are_just_enough_are_enough():
    """3 x 11 between blocks and 3 x 3 between sessions; thirty where nothing else is asked, .05 until then."""
    hits = np.random.default_rng(1).integers(8, 19, (3, 4, 3))

    found = {least: club_correlation(nested(hits), least_freedom=least) for least in (9, 10, 33, 34)}

    assert {least: (one.is_assumed, one.session_is_assumed) for least, one in found.items()} == {
        9: (False, False),
        10: (False, True),
        33: (False, True),
        34: (True, True),
    }
    for blocks, is_assumed in ((30, True), (31, False)):
        young = club_correlation(each_its_own_session(np.zeros(blocks), np.arange(blocks), np.full(blocks, 40)))
        assert (young.is_assumed, young.freedom) == (is_assumed, blocks - 1)
        assert (young.rho == 0.05) == is_assumed


def test_one_comparison_of_either_kind_tells_something_where_one_is_asked_for():
    two_sessions = told(nested(np.array([[[15, 12], [9, 4]]])))

    assert (two_sessions.session_freedom, two_sessions.session_is_assumed) == (1, False)
    assert (two_blocks := told(each_its_own_session([1, 1], [3, 9], [10, 10]))).freedom == 1
    assert not two_blocks.is_assumed


def test_blocks_of_one_ball_are_compared_too_and_two_balls_may_tell_how_much_one_varies():
    """Mean squares of .5 between the single balls of four kinds, and of .5 within the one pair: nothing is alike."""
    kind, good, balls = [1, 1, 2, 2, 3, 3, 4, 4, 5], [1, 0, 1, 0, 1, 0, 1, 0, 1], [1] * 8 + [2]

    found = told(each_its_own_session(kind, good, balls))

    assert (found.freedom, found.rho) == (4, 0)


def test_a_club_without_blocks_to_compare_gets_its_setting_whatever_it_asks_for():
    nothing, two_kinds = each_its_own_session([], [], []), each_its_own_session([1, 2], [3, 4], [5, 6])

    assert club_correlation(nothing, least_freedom=0).is_assumed
    assert club_correlation(two_kinds, least_freedom=0).is_assumed


@pytest.mark.parametrize("good", [0, 10])
def test_balls_that_all_went_the_same_way_are_not_called_alike(good):
    """No ball differs from another, so nothing says that those of a block differ less."""
    found = told(nested(np.full((2, 3, 2), good), balls=10))

    assert (found.rho, found.rho_session) == (0, 0)


def test_blocks_that_are_all_good_or_all_missed_count_as_one_ball():
    found = told(nested(np.array([[[10, 0], [10, 10], [0, 0], [0, 10]]] * 2), balls=10))

    assert found.rho == 1
    assert 0 <= found.rho_session <= 1


def test_blocks_of_one_ball_are_no_reason_to_fail():
    found = told(nested(np.array([[[1, 0], [1, 1], [0, 0], [0, 1]]] * 2), balls=1))

    assert 0 <= found.rho_session <= found.rho <= 1
