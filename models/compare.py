"""Two players, or two periods of one, compared on the balls that both met, each kind of ball counting the same.

Whoever trained the easier balls looks better; on equal shares of common balls that is gone. What remains is a
difference with the range that chance gives it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from models.estimates import Estimate
from models.intervals import minimal_detectable_change, newcombe_difference
from models.rarefaction import expected_combinations
from models.settings import Settings
from models.standardise import SharedLuck, StandardRates, standard_rates
from models.trend import change_verdict

ComparisonVerdict = Literal["first", "other", "alike", "not_clear", "too_few", "nothing_in_common"]

_VERDICTS: dict[str, ComparisonVerdict] = {"rising": "first", "falling": "other", "steady": "alike"}


@dataclass(frozen=True)
class CellInBlock:
    """Balls of one wanted combination in one drill block of one session."""

    cell: str
    session: str
    block: int
    balls: int
    good: int


@dataclass(frozen=True)
class Likeness:
    """How alike the balls of one block, and of one session, are (shares of 1)."""

    of_block: float
    of_session: float


@dataclass(frozen=True)
class Side:
    """One of the two: balls of the common combinations, and success on them, equally mixed (None: too few balls)."""

    balls: int
    good: int
    success: Estimate | None


@dataclass(frozen=True)
class Comparison:
    """Two sides on the combinations that both met; differences as shares of 1, None where there are too few balls.

    `detectable`: the smallest difference that so many balls could tell from chance.
    """

    cells: tuple[str, ...]
    first: Side
    other: Side
    difference: Estimate | None
    detectable: float | None
    verdict: ComparisonVerdict


def compare(
    first: Sequence[CellInBlock], other: Sequence[CellInBlock], likeness: Likeness, settings: Settings
) -> Comparison:
    """The first side less the other.

    Direct standardisation to equal shares (Fleiss, Levin & Paik 2003, ch. 19); range of the difference by Newcombe
    (1998, Stat. Med. 17:873, method 10) on effective balls; detectable difference as Weir (2005).
    """
    common = tuple(sorted({row.cell for row in first} & {row.cell for row in other}))
    sides = [[row for row in rows if row.cell in common] for rows in (first, other)]
    counts = [Side(sum(row.balls for row in rows), sum(row.good for row in rows), None) for rows in sides]
    if not common:
        return Comparison((), counts[0], counts[1], None, None, "nothing_in_common")
    if min(side.balls for side in counts) < settings.rate_balls:
        return Comparison(common, counts[0], counts[1], None, None, "too_few")
    return _compared(common, counts, [_equally_mixed(rows, common, likeness) for rows in sides], settings)


@dataclass(frozen=True)
class Kind:
    """Two sides on one combination that both met; no verdict, for among many one or another stands out by chance."""

    cell: str
    first: Side
    other: Side


def by_kind(
    first: Sequence[CellInBlock], other: Sequence[CellInBlock], likeness: Likeness, settings: Settings
) -> list[Kind]:
    """The common combinations one by one, those first of which both had most balls."""
    common = {row.cell for row in first} & {row.cell for row in other}
    kinds = [_kind(cell, first, other, likeness, settings) for cell in common]
    return sorted(kinds, key=lambda kind: (-min(kind.first.balls, kind.other.balls), kind.cell))


def _kind(
    cell: str, first: Sequence[CellInBlock], other: Sequence[CellInBlock], likeness: Likeness, settings: Settings
) -> Kind:
    alone = [[row for row in rows if row.cell == cell] for rows in (first, other)]
    found = compare(alone[0], alone[1], likeness, settings)
    return Kind(cell, found.first, found.other)


@dataclass(frozen=True)
class EqualVariety:
    """How many combinations either side's balls would hold on average, so many `balls` drawn from each."""

    balls: int
    first: float
    other: float


def equal_variety(
    first: Sequence[CellInBlock], other: Sequence[CellInBlock], settings: Settings
) -> EqualVariety | None:
    """Variety at equal balls, those of the side with fewer: whoever had more met more kinds, which says nothing.

    Source: Hurlbert (1971), Ecology 52:577. None where a side has too few balls to tell a rate.
    """
    counts = [_balls_of_cells(rows) for rows in (first, other)]
    balls = min(sum(of_cells) for of_cells in counts)
    if balls < settings.rate_balls:
        return None
    return EqualVariety(balls, *(expected_combinations(of_cells, balls) for of_cells in counts))


def _balls_of_cells(rows: Sequence[CellInBlock]) -> list[int]:
    cells: dict[str, int] = {}
    for row in rows:
        cells[row.cell] = cells.get(row.cell, 0) + row.balls
    return list(cells.values())


def _equally_mixed(rows: Sequence[CellInBlock], common: Sequence[str], likeness: Likeness) -> StandardRates:
    blocks = {key: i for i, key in enumerate(sorted({(row.session, row.block) for row in rows}))}
    sessions = {key: i for i, key in enumerate(sorted({row.session for row in rows}))}
    luck = SharedLuck(
        [blocks[row.session, row.block] for row in rows],
        [sessions[row.session] for row in rows],
        likeness.of_block,
        likeness.of_session,
    )
    return standard_rates(
        np.zeros(len(rows), dtype=np.int64),
        [common.index(row.cell) for row in rows],
        [row.good for row in rows],
        [row.balls for row in rows],
        np.full(len(rows), 1 / len(common)),
        luck,
    )


def _compared(
    common: tuple[str, ...], counts: Sequence[Side], rates: Sequence[StandardRates], settings: Settings
) -> Comparison:
    (first, other), worth = (float(side.rate[0]) for side in rates), [side.effective_balls[0] for side in rates]
    limits = newcombe_difference(first, worth[0], other, worth[1])
    difference = Estimate(first - other, float(limits.low), float(limits.high))
    verdict = _VERDICTS.get(change_verdict(difference.low, difference.high, settings.small_change), "not_clear")
    sides = [
        Side(count.balls, count.good, Estimate(float(side.rate[0]), float(side.low[0]), float(side.high[0])))
        for count, side in zip(counts, rates, strict=True)
    ]
    detectable = float(minimal_detectable_change((first + other) / 2, worth[0], worth[1]))
    return Comparison(common, sides[0], sides[1], difference, detectable, verdict)
