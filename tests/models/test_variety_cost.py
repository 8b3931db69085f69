"""What a player loses when the ball changes: by hand, by seed, and with too little to say."""

from dataclasses import replace

import numpy as np
import pytest

from models.variety_cost import CellBlocks, CostSettings, variety_cost


def log_of(first_rate, repeat_rate, blocks=12, cells=3, share=None):
    """A block a session: 10 balls right after a change and 20 repeats of each cell, at exactly these rates."""
    block, cell = (column.ravel() for column in np.indices((blocks, cells)))
    first, repeat = np.full(len(cell), 10.0), np.full(len(cell), 20.0)
    shares = np.full(cells, 1 / cells) if share is None else np.asarray(share)
    first_good, repeat_good = first * np.asarray(first_rate)[cell], repeat * np.asarray(repeat_rate)[cell]
    return CellBlocks(block, block, cell, first_good, first, repeat_good, repeat, shares[cell])


def test_eighty_percent_repeated_and_sixty_after_a_change_cost_twenty_points():
    """In every cell and block alike, so that nothing is left to chance."""
    answer = variety_cost(log_of([0.6] * 3, [0.8] * 3), seed=1)

    assert answer.cost == pytest.approx(0.20)
    assert (answer.low, answer.high) == pytest.approx((0.20, 0.20))
    assert (answer.first_balls, answer.repeat_balls, answer.verdict) == (360, 720, "falls")
    assert answer.target_share_seen == pytest.approx(1)


def test_cells_count_by_their_wanted_share():
    """Direct standardisation by hand: .7 x .10 + .2 x .20 + .1 x .60."""
    answer = variety_cost(log_of([0.8, 0.6, 0.2], [0.9, 0.8, 0.8], share=[0.7, 0.2, 0.1]), seed=1)

    assert answer.cost == pytest.approx(0.17)


def test_more_changes_in_hard_cells_do_not_pass_for_a_cost():
    """The easy cell is repeated, the hard one changed: crude rates lie 16 points apart, cells lose nothing."""
    log = log_of([0.9, 0.5], [0.9, 0.5], cells=2)
    weight = np.where(log.cell == 0, 0.2, 1.0)
    log = replace(log, first_good=log.first_good * weight, first_balls=log.first_balls * weight)

    crude = log.repeat_good.sum() / log.repeat_balls.sum() - log.first_good.sum() / log.first_balls.sum()

    assert crude > 0.1
    assert variety_cost(log, seed=1).cost == pytest.approx(0)
    assert variety_cost(log, seed=1).verdict == "holds_up"


def test_cells_met_in_one_way_only_do_not_speak_and_the_share_says_so():
    log = log_of([0.6] * 3, [0.8] * 3, share=[0.5, 0.3, 0.2])
    never_repeated = log.cell == 2
    log = replace(
        log,
        repeat_good=np.where(never_repeated, 0, log.repeat_good),
        repeat_balls=np.where(never_repeated, 0, log.repeat_balls),
    )

    answer = variety_cost(log, seed=1)

    assert answer.target_share_seen == pytest.approx(0.8)
    assert answer.first_balls == 240
    assert answer.cost == pytest.approx(0.20)


def test_cells_outside_the_target_do_not_speak():
    assert variety_cost(log_of([0.6, 0.1], [0.8, 0.9], cells=2, share=[1.0, 0.0]), seed=1).cost == pytest.approx(0.20)


@pytest.mark.parametrize("blocks", [2, 7])
def test_few_blocks_are_too_few_and_give_counts_without_figures(blocks):
    answer = variety_cost(log_of([0.6] * 3, [0.8] * 3, blocks=blocks), seed=1)

    assert answer.verdict == "too_few"
    assert np.isnan([answer.cost, answer.low, answer.high]).all()
    assert answer.first_balls == 30 * blocks


def test_a_player_whose_log_never_changes_the_ball_is_too_few():
    log = log_of([0.6] * 3, [0.8] * 3)

    answer = variety_cost(replace(log, first_balls=0 * log.first_balls, first_good=0 * log.first_good), seed=1)

    assert (answer.verdict, answer.first_balls, answer.target_share_seen) == ("too_few", 0, 0)


def test_an_empty_log_is_too_few():
    nothing = np.array([], dtype=float)
    empty = CellBlocks(*[nothing.astype(int)] * 3, *[nothing] * 5)

    assert variety_cost(empty, seed=1).verdict == "too_few"


def test_the_seed_fixes_the_range_and_more_balls_shorten_it():
    draw = np.random.default_rng(6)
    short, long = (log_of([0.6] * 3, [0.8] * 3, blocks=blocks) for blocks in (12, 48))
    short, long = (
        replace(log, first_good=draw.binomial(10, 0.6, len(log.cell)).astype(float)) for log in (short, long)
    )

    once, again, other = (variety_cost(short, seed) for seed in (4, 4, 5))
    longer = variety_cost(long, seed=4)

    assert once == again
    assert (once.low, once.high) != (other.low, other.high)
    assert once.low < once.cost < once.high
    assert longer.high - longer.low < once.high - once.low


def test_a_small_cost_that_is_sure_still_holds_up():
    """Five points, in every block: less than the club's setting of ten."""
    log = log_of([0.75] * 3, [0.8] * 3)

    assert variety_cost(log, seed=1).verdict == "holds_up"
    assert variety_cost(log, seed=1, settings=CostSettings(small_cost=0.02)).verdict == "falls"


def test_blocks_and_balls_that_are_just_enough_are_enough():
    """Eight blocks of three cells, with as many balls of the rarer kind as are asked for."""
    log, just = log_of([0.6] * 3, [0.9] * 3, blocks=8), CostSettings(least_balls=240)

    assert variety_cost(log, 1, just).verdict == "falls"
    assert variety_cost(log, 1, replace(just, least_balls=241)).verdict == "too_few"
    assert variety_cost(log, 1, replace(just, least_blocks=9)).verdict == "too_few"
    assert variety_cost(log, 1, replace(just, least_sessions=8)).verdict == "falls"
    assert variety_cost(log, 1, replace(just, least_sessions=9)).verdict == "too_few"


def test_blocks_of_one_session_are_dealt_together():
    """Told as two blocks each, the same sessions say the same: their blocks are not luck of their own."""
    draw = np.random.default_rng(6)
    log = log_of([0.6] * 3, [0.8] * 3)
    log = replace(log, first_good=draw.binomial(10, 0.6, len(log.cell)).astype(float))
    columns = {name: np.repeat(column, 2) for name, column in vars(log).items()}
    columns["block"] = 2 * columns["block"] + np.arange(len(columns["block"])) % 2
    halved = {name: columns[name] / 2 for name in ("first_good", "first_balls", "repeat_good", "repeat_balls")}

    assert variety_cost(CellBlocks(**columns | halved), seed=4) == variety_cost(log, seed=4)


@pytest.mark.parametrize("few", ["first", "repeat"])
def test_too_few_of_either_kind_alone_are_too_few_and_both_counts_are_told(few):
    log = log_of([0.6] * 3, [0.9] * 3)
    scale = {f"{few}_{what}": getattr(log, f"{few}_{what}") / 30 for what in ("good", "balls")}

    answer = variety_cost(replace(log, **scale), seed=1)

    counts = {"first": 360.0, "repeat": 720.0}
    counts[few] /= 30
    assert answer.verdict == "too_few"
    assert (answer.first_balls, answer.repeat_balls) == pytest.approx((counts["first"], counts["repeat"]))


def test_what_one_block_in_two_tells_is_not_clear():
    """By turns half a hundred lost and half a hundred gained: about nothing, and nobody can say."""
    log = log_of([0.5] * 3, [0.5] * 3, blocks=10)
    turns = np.where(np.asarray(log.block) % 2 == 0, 1.6, 0.5)

    answer = variety_cost(replace(log, repeat_good=log.repeat_good * turns), seed=1)

    assert answer.low < 0 < answer.high
    assert answer.high > 0.1
    assert answer.verdict == "not_clear"


def test_a_deal_that_leaves_a_cell_out_tells_of_the_others():
    """The third cell came up in two sessions of twelve: one deal in eight is without it, and costs the same."""
    log = log_of([0.6] * 3, [0.8] * 3)
    kept = (log.cell < 2) | (log.session < 2)

    answer = variety_cost(CellBlocks(*(column[kept] for column in vars(log).values())), seed=1)

    assert (answer.cost, answer.low, answer.high) == pytest.approx((0.20, 0.20, 0.20))
    assert answer.target_share_seen == pytest.approx(1)
