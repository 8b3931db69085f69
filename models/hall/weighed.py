"""What turns would bring, in numbers that a search can add up.

A turn has balls enough to cover a combination, and so all pairs of values in it: a second turn of the same brings
nothing. What a child's turns are worth together is the sum over the different combinations, and over the different
pairs, that are among them (`models.worth`), in whatever order they are fed.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from models.hall.asked import AGAIN, Child, HallAsk
from models.hall.axis import LEAST_SHARE, Axis, axis_of
from models.worth import pairs_of

FloatArray = npt.NDArray[np.float64]
BoolArray = npt.NDArray[np.bool_]

FIRST, MUST = 1.0, 10.0
"""Settings: what a child's most wanted ball, and one that has to be in, are worth beside what they bring."""

MOVE = 0.4
"""Setting: what a move has to bring, of what the minutes that it takes would bring one child with its most wanted ball.

Those minutes are the change between slots, which is there anyway: what a move costs beside them is the coach's hands.
"""

A_TURN = 1e-4
"""What a turn is worth that brings nothing: less than any that does, so that nobody stands about."""


@dataclass(frozen=True)
class ChildWeights:
    """What one child's turns bring: C combinations with P pairs, from the hall's setups (S).

    `alone` (C,) and `paired` (P,) count once; `holds` (C, P) tells which pairs a combination brings together, and
    `fits` (S, C) from where it can be fed.
    """

    alone: FloatArray
    paired: FloatArray
    holds: BoolArray
    fits: BoolArray

    def of(self, cells: set[int]) -> float:
        """What turns of these combinations are worth together."""
        fed = sorted(cells)
        return float(self.alone[fed].sum() + self.paired[self.holds[fed].any(axis=0)].sum())

    def after(self, cells: set[int]) -> "ChildWeights":
        """What more turns bring once these were fed."""
        fed = sorted(cells)
        alone = self.alone.copy()
        alone[fed] = 0
        return ChildWeights(alone, np.where(self.holds[fed].any(axis=0), 0, self.paired), self.holds, self.fits)

    @cached_property
    def by_turn(self) -> FloatArray:
        """What the next turn of each combination is worth (C,)."""
        return np.asarray(self.alone + self.holds @ self.paired)

    def best_at(self, setup: int, turns: int) -> tuple[float, tuple[int, ...]]:
        """What so many turns from a setup bring, and of which combinations: one after the other the one worth most.

        Where fewer combinations are fed from there, they come again; none at all where none is.
        """
        if (setup, turns) not in self._found:
            self._found[setup, turns] = self._best_at(setup, turns)
        return self._found[setup, turns]

    @cached_property
    def _found(self) -> dict[tuple[int, int], tuple[float, tuple[int, ...]]]:
        return {}

    def _best_at(self, setup: int, turns: int) -> tuple[float, tuple[int, ...]]:
        fitting = np.flatnonzero(self.fits[setup])
        weights, chosen = self, list[int]()
        while len(chosen) < min(turns, len(fitting)):
            left = [int(cell) for cell in fitting if cell not in chosen]
            best = max(left, key=lambda cell: (round(float(weights.by_turn[cell]), 12), -cell))
            chosen.append(best)
            if len(chosen) < turns:
                weights = weights.after({best})
        again = [chosen[turn % len(chosen)] for turn in range(len(chosen), turns)] if chosen else []
        return self.of(set(chosen)), (*chosen, *again)


@dataclass(frozen=True)
class Weighed:
    """A hall plan's question in numbers: the axis, the setups by number, and what each child's turns bring.

    `tables` has for each station the numbers of its setups. `bonuses` (C,) of each child are what its weights hold
    beside what the balls bring: for its most wanted ball, and those that have to be in. `move_cost` is what a move of a
    feeder has to bring at least. `idle_slots` and `least_share` are the limits that hold.
    """

    ask: HallAsk
    axis: Axis
    setups: tuple[str, ...]
    tables: tuple[tuple[int, ...], ...]
    children: tuple[ChildWeights, ...]
    bonuses: tuple[FloatArray, ...]
    move_cost: float
    idle_slots: int
    least_share: float = LEAST_SHARE


def weighed(ask: HallAsk) -> Weighed:
    """The numbers of what is asked. Raises NoTurnFits."""
    axis = axis_of(ask)
    setups = _told_apart(ask)
    tables = tuple(tuple(at for at, setup in enumerate(setups) if setup in table.setups) for table in ask.stations)
    children = tuple(_child_weights(child, axis, setups) for child in ask.children)
    most_wanted = [float((one.by_turn * one.fits.any(axis=0)).max(initial=0.0)) for one in children]
    turns_of_a_move = ask.settings.feeder_move_minutes / axis.turn_minutes
    move_cost = MOVE * turns_of_a_move * float(np.mean(most_wanted))
    firsts = tuple(_with_firsts(one, child, ask) for one, child in zip(children, ask.children, strict=True))
    bonuses = tuple(first.alone - one.alone for first, one in zip(firsts, children, strict=True))
    return Weighed(ask, axis, setups, tables, firsts, bonuses, move_cost, axis.most_idle_slots)


def _told_apart(ask: HallAsk) -> tuple[str, ...]:
    """The setups that differ to some child or some table; of those that are alike the first."""
    codes = sorted({code for station in ask.stations for code in station.setups})
    alike: dict[object, str] = {}
    for code in codes:
        met = tuple((child.stands[code].depth, child.stands[code].side) for child in ask.children)
        alike.setdefault((met, tuple(code in station.setups for station in ask.stations)), code)
    return tuple(sorted(alike.values()))


def _child_weights(child: Child, axis: Axis, setups: tuple[str, ...]) -> ChildWeights:
    pairs = list(child.shortfall.pair_balls)
    fits = [[gap.is_fed_from(child.stands[setup]) for gap in child.wanted] for setup in setups]
    holds = [[pair in set(pairs_of(gap.cell)) for pair in pairs] for gap in child.wanted]
    return ChildWeights(
        np.array([child.shortfall.worth_alone(gap.cell, axis.balls) for gap in child.wanted], dtype=np.float64),
        np.array([child.shortfall.worth_of_pair(pair, axis.balls) for pair in pairs], dtype=np.float64),
        np.array(holds, dtype=np.bool_).reshape(len(child.wanted), len(pairs)),
        np.array(fits, dtype=np.bool_).reshape(len(setups), len(child.wanted)),
    )


def _with_firsts(weights: ChildWeights, child: Child, ask: HallAsk) -> ChildWeights:
    """The most wanted ball that a table here can feed, and those that have to be in, made worth so much more."""
    alone = weights.alone.copy()
    here = np.flatnonzero(weights.fits.any(axis=0))
    if here.size and child.wanted[here[0]].why != AGAIN:
        alone[here[0]] += FIRST
    for at, gap in enumerate(child.wanted):
        alone[at] += MUST * ((child.code, gap.cell) in ask.must)
    return ChildWeights(alone, weights.paired, weights.holds, weights.fits)
