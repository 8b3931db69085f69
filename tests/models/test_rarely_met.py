"""Success on rarely met cells against familiar ones of like difficulty: by hand, by seed, and with too little."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import special

from models.rarely_met import MetCells, reach

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
