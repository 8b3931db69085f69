"""Is a player weak on a ball? Success on it beside what such a ball is expected to give this player."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from models.groups import BoolArray, FloatArray, IntArray, group_rows
from models.intervals import newcombe_difference
from models.own_level import at_own_level


@dataclass(frozen=True)
class MetKinds:
    """One player's balls, one row per cell and kind of ball in it; `kind` is a place in the covariance `doubt`.

    `ease` is what the others find of the kind (logits); `doubt` the covariance of the doubt about that.
    """

    cell: IntArray
    kind: IntArray
    good: FloatArray
    balls: FloatArray
    ease: FloatArray
    doubt: FloatArray


@dataclass(frozen=True)
class CellsExpected:
    """One entry per cell, in ascending order of its number.

    `effective_balls` is the count of independent balls that would give the expected rate as surely.
    """

    rate: FloatArray
    expected_rate: FloatArray
    effective_balls: FloatArray
    is_weak: BoolArray


def against_expectation(
    log: MetKinds, effective_balls: npt.ArrayLike, design_effect: float = 1.0, confidence: float = 0.95
) -> CellsExpected:
    """Compare each cell with what it is expected to give; `effective_balls` are those of the cells, in their order.

    Weak is a cell whose rate is clearly below: the whole range of the difference. `design_effect` is how many of the
    player's balls are worth one. Source: Newcombe (1998), Stat. Med. 17:873, method 10.
    """
    cells = group_rows(log.cell)
    count, worth = cells.sums(log.balls), np.asarray(effective_balls, dtype=np.float64)
    rows = at_own_level(log.ease, log.good, log.balls)
    rate, expected = cells.sums(log.good) / count, cells.sums(log.balls * rows) / count
    variance = _variance(log, log.balls * rows * (1 - rows), design_effect)
    known = expected * (1 - expected) / variance
    below = newcombe_difference(rate, worth, expected, known, confidence).high < 0
    return CellsExpected(rate, expected, known, np.asarray(below))


def _variance(log: MetKinds, chance: FloatArray, design_effect: float) -> FloatArray:
    """Of each cell's expected rate: from the doubt about the balls, and about the player's level."""
    cells = group_rows(log.cell)
    by_kind = np.zeros((cells.count, len(log.doubt)))
    np.add.at(by_kind, (cells.of_row, log.kind), chance)
    count, of_cell, whole = cells.sums(log.balls), by_kind.sum(axis=1), chance.sum()
    # A kind that is easier than thought lowers the player's level as well, and with it all other cells.
    moved = (by_kind - np.outer(of_cell, by_kind.sum(axis=0) / whole)) / count[:, None]
    of_balls = np.einsum("ij,jk,ik->i", moved, log.doubt, moved)
    return np.asarray(of_balls + (of_cell / count) ** 2 * design_effect / whole)
