"""Success on the same mix of balls, against the kidney stones of Charig et al. (1986), the classic Simpson pair."""

import numpy as np
import pytest
from statsmodels.stats.proportion import proportion_confint

from models.effective_balls import effective_balls
from models.intervals import newcombe_difference, wilson
from models.standardise import SharedLuck, standard_rates

# Charig et al. (1986), BMJ 292:879 (from memory): successes / operations, small stones then large ones, by open surgery
# and by the new method. Played here as easy and hard balls of two players.
GOOD, BALLS = np.array([81, 192, 234, 55]), np.array([87, 263, 270, 80])
PLAYER, CELL = np.array([1, 1, 2, 2]), np.array([1, 2, 1, 2])
ALL_STONES = np.array([357, 343, 357, 343]) / 700


def rates(group, block, cell, good, balls, share, rho, day=None):
    """`day` is the sessions and how alike their balls are; without it every block is a session of its own."""
    session, rho_session = day or (block, 0.0)
    return standard_rates(group, cell, good, balls, share, SharedLuck(block, session, rho, rho_session))


def stones(rho=0.0, share=ALL_STONES, block=PLAYER):
    return rates(PLAYER, block, CELL, GOOD, BALLS, share, rho)


def test_the_player_who_looks_worse_is_the_better_one_on_the_same_balls():
    """Crude .780 against .826, standardised .833 against .779."""
    crude = np.bincount(PLAYER, weights=GOOD)[1:] / np.bincount(PLAYER, weights=BALLS)[1:]

    assert pytest.approx(crude, abs=1e-6) == [0.780, 0.825714]
    assert pytest.approx(stones().rate, abs=1e-6) == [0.832546, 0.778875]


def test_the_textbook_error_of_the_standardised_rate_is_not_understated():
    """Fleiss, Levin & Paik (2003): variance sum q^2 p (1 - p) / n. Ours is the more careful of that and one for all."""
    rate = GOOD / BALLS
    variance = np.bincount(PLAYER, weights=ALL_STONES**2 * rate * (1 - rate) / BALLS)[1:]
    ours = stones()

    assert np.all(ours.rate * (1 - ours.rate) / ours.effective_balls > 0.99 * variance)
    assert np.all(ours.rate * (1 - ours.rate) / ours.effective_balls < 1.5 * variance)


@pytest.mark.parametrize("seed", range(30))
def test_where_every_ball_was_good_the_rate_is_1_and_the_range_ends_there(seed):
    """However the shares add up in doubles: 1.0000000000000002 would be a rate that no check lets pass."""
    chance = np.random.default_rng(seed)
    balls, share = chance.integers(1, 40, 7), chance.dirichlet(np.ones(7))

    with np.errstate(all="raise"):
        found = rates([1] * 7, range(7), range(7), balls, balls, share, rho=0.05)

    assert found.rate[0] == pytest.approx(1, abs=1e-12)
    assert found.rate[0] <= 1
    assert 0 < found.low[0] < found.high[0] <= 1
    assert 0 < found.effective_balls[0] < balls.sum()


def test_a_player_who_met_the_target_mix_keeps_his_plain_range():
    """With balls in the wanted shares, standardising changes nothing."""
    plain = wilson(30 / 50, 50)

    same = rates([1, 1], [1, 2], [1, 2], [18, 12], [30, 20], [0.6, 0.4], rho=0.0)

    assert (same.rate[0], same.effective_balls[0]) == pytest.approx((0.6, 50))
    assert (same.low[0], same.high[0]) == pytest.approx((float(plain.low), float(plain.high)))


def test_blocks_of_one_cell_have_the_effective_balls_of_that_cell():
    blocks = np.array([30, 20, 10])

    one_cell = rates([1] * 3, [1, 2, 3], [7] * 3, [20, 15, 5], blocks, [0.25] * 3, rho=0.1)

    assert one_cell.effective_balls[0] == pytest.approx(effective_balls(60, (blocks**2).sum(), 0.1))
    assert one_cell.target_share_seen[0] == pytest.approx(0.25)


def test_two_cells_in_one_block_share_its_luck():
    apart = rates([1, 1], [1, 2], [1, 2], [6, 6], [10, 10], [0.5, 0.5], rho=0.2)
    together = rates([1, 1], [1, 1], [1, 2], [6, 6], [10, 10], [0.5, 0.5], rho=0.2)

    assert apart.effective_balls[0] == pytest.approx(20 / 2.8)
    assert together.effective_balls[0] == pytest.approx(20 / 4.8)


def test_blocks_of_one_session_share_its_day_across_cells():
    """Balls of a block are .2 alike, of another block of the day .1: 1 + 9 x .2 + 10 x .1 = 3.8 balls for one."""
    one_day, two_days = (
        rates([1, 1], [1, 2], [1, 2], [6, 6], [10, 10], [0.5, 0.5], rho=0.2, day=(session, 0.1))
        for session in ([1, 1], [1, 2])
    )

    assert one_day.effective_balls[0] == pytest.approx(20 / 3.8)
    assert two_days.effective_balls[0] == pytest.approx(20 / 2.8)


def test_cells_outside_the_target_and_cells_never_met_do_not_count():
    rate = rates([1, 1, 1], [1, 1, 1], [1, 2, 3], [8, 0, 0], [10, 10, 0], [0.4, 0.0, 0.6], rho=0.0)

    assert (rate.rate[0], rate.target_share_seen[0]) == pytest.approx((0.8, 0.4))


def test_a_few_balls_of_a_wanted_cell_make_the_rate_less_sure():
    """Forty-nine balls of one cell and one of the other are worth at most four when both count half."""
    rate = rates([1, 1], [1, 2], [1, 2], [30, 1], [49, 1], [0.5, 0.5], rho=0.0)

    assert rate.effective_balls[0] <= 1 / (0.25 / 49 + 0.25) < 4


def test_a_player_who_never_missed_has_a_range_all_the_same():
    """Wilson's for 60 of 60, blocks of one ball: 94.0% (closed form n / (n + z^2)) to 100%."""
    perfect = rates([1, 1], [1, 2], [1, 2], [30, 30], [30, 30], [0.5, 0.5], rho=0.0)

    assert perfect.low[0] == pytest.approx(60 / (60 + 1.959964**2))
    assert perfect.high[0] == pytest.approx(1)


def test_two_players_are_compared_on_their_effective_balls():
    both = stones()

    limits = newcombe_difference(both.rate[0], both.effective_balls[0], both.rate[1], both.effective_balls[1])

    assert limits.low < 0.832546 - 0.778875 < limits.high


def test_a_player_whose_balls_nobody_wants_has_no_rate_and_the_others_keep_their_numbers():
    """And numbers of blocks may be used again: the rates of several players are those of each alone."""
    player, block = np.array([9, 9, 4, 4, 7]), np.array([1, 1, 1, 2, 1])
    columns = (np.array([1, 2, 1, 2, 1]), np.array([6, 6, 3, 8, 5]), np.full(5, 10), np.array([0.5, 0.5, 0.5, 0.5, 0]))

    found = rates(player, block, *columns, rho=0.2)

    assert found.group.tolist() == [4, 9]
    for at, number in enumerate(found.group):
        own = player == number
        alone = rates(player[own], block[own], *(column[own] for column in columns), rho=0.2)
        assert found.effective_balls[at] == pytest.approx(alone.effective_balls[0])


def test_who_asks_for_less_certainty_gets_wilsons_shorter_range():
    """With balls in the wanted shares it is the plain one (see above), here to 80 %."""
    luck = SharedLuck([1, 2], [1, 2], 0.0, 0.0)

    found = standard_rates([1, 1], [1, 2], [18, 12], [30, 20], [0.6, 0.4], luck, confidence=0.8)

    assert proportion_confint(30, 50, alpha=0.2, method="wilson") == pytest.approx((found.low[0], found.high[0]))
