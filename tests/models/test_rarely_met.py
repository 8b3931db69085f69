"""Success on rarely met cells against familiar ones of like difficulty: by hand, by seed, and with too little."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import special, stats

from models.own_level import at_own_level
from models.rarely_met import MetCells, ReachSettings, reach

# Invented: six cells, met in so many of 24 sessions, ten balls each time.
SESSIONS_OF_CELL = np.array([8, 10, 12, 18, 20, 24])
CLUB_RATE = np.array([0.5, 0.8, 0.6, 0.7, 0.8, 0.5])
KNOWN = np.zeros((6, 6))


def log_of(own_rate, spread=0.0, doubt=KNOWN):
    """Ten balls of a cell in each of its sessions, at the player's own rate plus an alternating `spread`."""
    cell = np.repeat(np.arange(6), SESSIONS_OF_CELL)
    session = np.concatenate([np.arange(count) for count in SESSIONS_OF_CELL])
    good = 10 * (np.asarray(own_rate)[cell] + spread * (-1.0) ** (session + cell))
    exposure, ease = 10.0 * SESSIONS_OF_CELL[cell], special.logit(CLUB_RATE)[cell]
    return MetCells(session, cell, good, np.full(len(cell), 10.0), exposure, cell, ease, np.asarray(doubt))


def test_a_player_who_does_as_the_club_does_everywhere_has_no_gap():
    """Rare and familiar cells differ in difficulty; the comparison does not mind."""
    answer = reach(log_of(CLUB_RATE, spread=0.1), seed=1)

    assert answer.gap == pytest.approx(0, abs=0.005)
    assert (answer.rare_balls, answer.familiar_balls, answer.verdict) == (180, 440, "reaches")


def test_a_strong_player_has_no_gap_for_being_strong():
    """One logit better on every cell."""
    odds = CLUB_RATE / (1 - CLUB_RATE) * np.e

    assert reach(log_of(odds / (1 + odds)), seed=1).gap == pytest.approx(0, abs=0.005)


def test_a_player_who_only_knows_the_familiar_balls_falls_short():
    own = CLUB_RATE + np.array([-0.2, -0.2, 0, 0, 0.1, 0.1])

    answer = reach(log_of(own, spread=0.05), seed=1)

    assert answer.verdict == "falls_short"
    assert answer.gap == pytest.approx(-0.3, abs=0.02)
    assert answer.low < answer.gap < answer.high < 0


def test_cells_all_met_alike_have_none_that_are_rare():
    log = log_of(CLUB_RATE)

    assert reach(replace(log, exposure=np.full(len(log.cell), 80.0)), seed=1).verdict == "too_few"


def test_rare_cells_in_a_handful_of_sessions_are_too_few():
    log = log_of(CLUB_RATE)
    few = (log.session < 5) | (log.cell > 1)

    columns = {name: column[few] for name, column in vars(log).items() if name != "doubt"}

    answer = reach(MetCells(**columns, doubt=KNOWN), seed=1)

    assert answer.verdict == "too_few"
    assert np.isnan([answer.gap, answer.low, answer.high]).all()
    assert answer.rare_balls == 100


def test_a_player_who_never_misses_has_an_answer():
    assert reach(log_of(np.ones(6)), seed=1).verdict == "reaches"


def test_an_empty_log_is_too_few():
    nothing = np.array([], dtype=float)

    assert reach(MetCells(*[nothing] * 7, KNOWN), seed=1).verdict == "too_few"


def test_the_seed_fixes_the_range():
    log = log_of(CLUB_RATE, spread=0.1)

    assert reach(log, seed=3) == reach(log, seed=3)
    assert reach(log, seed=3) != reach(log, seed=4)


def test_blocks_of_one_session_are_dealt_together():
    """Told block by block, the same session says the same: its blocks are not luck of their own."""
    log = log_of(CLUB_RATE, spread=0.1)
    columns = {name: column for name, column in vars(log).items() if name != "doubt"}
    in_halves = {name: np.repeat(column, 2) for name, column in columns.items()}
    in_halves["good"], in_halves["balls"] = in_halves["good"] / 2, in_halves["balls"] / 2

    whole, told_in_blocks = reach(log, seed=1), reach(MetCells(**in_halves, doubt=KNOWN), seed=1)

    assert (told_in_blocks.gap, told_in_blocks.low, told_in_blocks.high) == pytest.approx(
        (whole.gap, whole.low, whole.high)
    )


def test_balls_that_nobody_else_met_leave_the_gap_open():
    """One logit of doubt about each kind: two rare against two familiar cells are a logit apart by it alone."""
    own = CLUB_RATE + np.array([-0.2, -0.2, 0, 0, 0.1, 0.1])
    known, unknown = (reach(log_of(own, 0.05, doubt), seed=1) for doubt in (KNOWN, np.eye(6)))

    assert (known.verdict, unknown.verdict) == ("falls_short", "not_clear")
    assert unknown.gap == known.gap
    assert unknown.low < known.low < known.high < 0 < unknown.high


def test_what_all_balls_have_in_common_is_the_players_level_and_no_doubt():
    own = CLUB_RATE + np.array([-0.2, -0.2, 0, 0, 0.1, 0.1])
    known, common = (reach(log_of(own, 0.05, doubt), seed=1) for doubt in (KNOWN, np.ones((6, 6))))

    assert (common.low, common.high) == pytest.approx((known.low, known.high), abs=1e-9)


def rows_of(log, **changed):
    return {name: column for name, column in vars(log).items() if name != "doubt"} | changed


def test_the_thirds_are_those_of_the_cells_and_their_bounds_belong_to_them():
    """Seven cells: the third from below and the third from above lie on the quantiles."""
    cell = np.repeat(np.arange(7), 8)
    met = 10.0 * (1 + cell)
    log = MetCells(np.tile(np.arange(8), 7), cell, 0.7 * met, met, met, cell, np.zeros(56), np.zeros((7, 7)))

    answer = reach(log, seed=1)

    assert (answer.rare_balls, answer.familiar_balls) == (8 * (10 + 20 + 30), 8 * (50 + 60 + 70))


def test_where_all_cells_are_met_alike_no_ball_counts_as_rare_or_as_familiar():
    log = log_of(CLUB_RATE)
    answer = reach(replace(log, exposure=np.full(len(log.cell), 80.0)), seed=1)

    assert (answer.rare_balls, answer.familiar_balls) == (0, 0)


def test_sessions_and_balls_that_are_just_enough_are_enough():
    """Six sessions with rare balls, of one ball each."""
    log = log_of(CLUB_RATE)
    kept = (log.cell > 1) | ((log.session < 6) & (log.cell == 0))
    balls = np.where(log.cell == 0, 1.0, log.balls)
    exposure = np.where(log.cell == 0, 6.0, log.exposure)
    few = rows_of(log, balls=balls, exposure=exposure, good=np.minimum(log.good, balls))
    few = MetCells(**{name: column[kept] for name, column in few.items()}, doubt=KNOWN)
    just = ReachSettings(tail=0.2, least_balls=6)

    assert reach(few, 1, just).verdict != "too_few"
    assert reach(few, 1, replace(just, least_balls=7)).verdict == "too_few"
    assert reach(few, 1, replace(just, least_sessions=7)).verdict == "too_few"
    assert (reach(few, 1, replace(just, least_balls=7)).familiar_balls) == 240


def test_the_range_is_as_wide_as_sessions_differ():
    """Sessions that are good and bad by chance, dealt 20,000 times one by one; Student's t for ten of them."""
    draw = np.random.default_rng(9)
    log = log_of(CLUB_RATE)
    log = replace(log, good=10 * draw.beta(3 * CLUB_RATE[log.cell], 3 * (1 - CLUB_RATE[log.cell])))
    expected = at_own_level(log.ease, log.good, log.balls)
    is_rare, is_familiar = log.cell < 2, log.cell > 3
    of_session = np.zeros((24, 4))
    for at, rows in enumerate((is_rare, is_familiar)):
        np.add.at(of_session[:, 2 * at], log.session[rows], (log.good - log.balls * expected)[rows])
        np.add.at(of_session[:, 2 * at + 1], log.session[rows], log.balls[rows])
    dealt = of_session[draw.integers(0, 24, (20_000, 24))].sum(axis=1)
    dealt = dealt[dealt[:, 1] > 0]
    gaps = dealt[:, 0] / dealt[:, 1] - dealt[:, 2] / dealt[:, 3]
    tail = stats.norm.cdf(-np.sqrt(10 / 9) * stats.t.ppf(0.975, 9))

    answer = reach(log, seed=1)

    assert (answer.low, answer.high) == pytest.approx(np.quantile(gaps, [tail, 1 - tail]), abs=0.01)
    assert answer.high - answer.low > 0.1


def test_doubt_about_the_balls_widens_the_range_as_the_whole_calculation_moves():
    """Sessions that do just as expected leave the doubt alone: by finite differences, everything worked out anew."""
    log, doubt = log_of(CLUB_RATE), 0.04 * np.eye(7) + 0.02
    doubt[0, 1] = doubt[1, 0] = -0.01
    ease = special.logit(CLUB_RATE)
    log = replace(log, good=log.balls * at_own_level(log.ease, log.good, log.balls), doubt=doubt)

    def gap(of_kind):
        surplus = log.good - log.balls * at_own_level(of_kind[log.kind], log.good, log.balls)
        rare, familiar = (surplus[rows].sum() / log.balls[rows].sum() for rows in (log.cell < 2, log.cell > 3))
        return rare - familiar

    steps = [(gap(ease + step) - gap(ease - step)) / 2e-5 for step in 1e-5 * np.eye(6)]
    answer = reach(log, seed=1)

    width = 2 * 1.959964 * np.sqrt(steps @ doubt[:6, :6] @ steps)
    assert answer.high - answer.low == pytest.approx(width, rel=1e-3)
