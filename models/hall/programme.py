"""The hall plan as an integer programme (HiGHS, by scipy.optimize.milp): of the whole session, or of some of its slots.

Unknown are, for each slot that is open, how many tables of a kind stand at each setup, whether a child is at one of
them, and whether a combination is fed to a child. Tables that can stand at the same setups are one kind, so that equal
plans are not tried twice; who of the children at a setup is at which table does not matter, and is told afterwards.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from models.hall.seated import kinds_of, seated
from models.hall.seating import Seating
from models.hall.weighed import A_TURN, ChildWeights, FloatArray, Weighed

Term = tuple[int, float]


@dataclass(frozen=True)
class Solved:
    """What HiGHS found: the seating (None: none in time), an upper bound of the value, and whether it was proven."""

    seating: Seating | None
    bound: float
    is_proven: bool


@dataclass
class _Rows:
    """Unknowns with what each brings, and sums of them with limits."""

    brings: list[float] = field(default_factory=list)
    most: list[float] = field(default_factory=list)
    whole: list[int] = field(default_factory=list)
    terms: list[tuple[int, int, float]] = field(default_factory=list)
    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)

    def unknown(self, brings: float = 0.0, most: float = 1.0, *, whole: bool = True) -> int:
        """One more, from 0 to `most`."""
        self.brings.append(brings)
        self.most.append(most)
        self.whole.append(int(whole))
        return len(self.brings) - 1

    def limit(self, terms: Iterable[Term], low: float = -np.inf, high: float = np.inf) -> None:
        """The sum of terms lies within."""
        self.terms += [(len(self.low), unknown, times) for unknown, times in terms]
        self.low.append(low)
        self.high.append(high)


@dataclass(frozen=True)
class Programme:
    """The programme of the slots `open_slots`; in all others the seating `given` stays as it is."""

    weighed: Weighed
    given: Seating
    open_slots: tuple[int, ...]

    def solved(self, seconds: float, *, relaxed: bool = False) -> Solved:
        """The best seating found within so many seconds; relaxed: only the bound, of parts of children and tables."""
        self._count_tables()
        self._count_moves()
        self._seat_children()
        self._feed_children()
        rows = self._rows
        row, column, times = zip(*rows.terms, strict=True)
        matrix = coo_array((times, (row, column)), shape=(len(rows.low), len(rows.brings))).tocsr()
        found = milp(
            -np.array(rows.brings),
            constraints=LinearConstraint(matrix, rows.low, rows.high),
            integrality=np.zeros(len(rows.whole)) if relaxed else np.array(rows.whole),
            bounds=Bounds(0, rows.most),
            options={"time_limit": max(seconds, 0.01), "mip_rel_gap": 1e-9},
        )
        dual = found.fun if relaxed else found.mip_dual_bound
        bound = np.inf if dual is None else self._settled - float(dual)
        seating = None if found.x is None or relaxed else self._seating(found.x)
        return Solved(seating, bound, is_proven=found.status == 0)

    @cached_property
    def _rows(self) -> _Rows:
        return _Rows()

    @cached_property
    def _kinds(self) -> list[tuple[int, ...]]:
        return kinds_of(self.weighed)

    def _setups_of(self, kind: int) -> tuple[int, ...]:
        return self.weighed.tables[self._kinds[kind][0]]

    @cached_property
    def _tables_at(self) -> dict[tuple[int, int, int], int]:
        """The unknown of (slot, kind, setup)."""
        kinds = range(len(self._kinds))
        return {
            (slot, kind, setup): self._rows.unknown(most=len(self._kinds[kind]))
            for slot in self.open_slots
            for kind in kinds
            for setup in self._setups_of(kind)
        }

    @cached_property
    def _children_at(self) -> dict[tuple[int, int, int], int]:
        """The unknown of (slot, child, setup), where something fits."""
        return {
            (slot, child, setup): self._rows.unknown(brings=A_TURN * self.weighed.axis.turns)
            for slot in self.open_slots
            for child, weights in enumerate(self.weighed.children)
            for setup in np.flatnonzero(weights.fits.any(axis=1)).tolist()
        }

    def _count_tables(self) -> None:
        for slot in self.open_slots:
            for kind, tables in enumerate(self._kinds):
                every = [(self._tables_at[slot, kind, setup], 1.0) for setup in self._setups_of(kind)]
                self._rows.limit(every, len(tables), len(tables))

    def _count_moves(self) -> None:
        """A table that is at a setup and was not there in the slot before, costs."""
        for slot in range(1, self.weighed.axis.slots):
            if slot in self.open_slots or slot - 1 in self.open_slots:
                for kind in range(len(self._kinds)):
                    for setup in self._setups_of(kind):
                        self._count_move(slot, kind, setup)

    def _count_move(self, slot: int, kind: int, setup: int) -> None:
        now, before = self._stood(slot, kind, setup), self._stood(slot - 1, kind, setup)
        came = self._rows.unknown(-self.weighed.move_cost, len(self._kinds[kind]), whole=False)
        terms = [(came, 1.0), *[(unknown, -times) for unknown, times in now[0]], *before[0]]
        self._rows.limit(terms, low=now[1] - before[1])

    def _stood(self, slot: int, kind: int, setup: int) -> tuple[list[Term], int]:
        """How many tables of a kind, as an unknown or as given."""
        if slot in self.open_slots:
            return [(self._tables_at[slot, kind, setup], 1.0)], 0
        return [], sum(self.given.standing[slot][table] == setup for table in self._kinds[kind])

    def _seat_children(self) -> None:
        for slot in self.open_slots:
            for child in range(len(self.weighed.children)):
                self._rows.limit(self._at_a_table(slot, child), high=1)
            for setup in range(len(self.weighed.setups)):
                self._fill_tables(slot, setup)
        for child in range(len(self.weighed.children)):
            self._limit_child(child)

    def _at_a_table(self, slot: int, child: int) -> list[Term]:
        setups = range(len(self.weighed.setups))
        return [(self._children_at[slot, child, s], 1.0) for s in setups if (slot, child, s) in self._children_at]

    def _fill_tables(self, slot: int, setup: int) -> None:
        """No more children at a setup than the tables there take."""
        everybody, kinds = range(len(self.weighed.children)), range(len(self._kinds))
        here = [(self._children_at[slot, c, setup], 1.0) for c in everybody if (slot, c, setup) in self._children_at]
        tables = [self._tables_at[slot, k, setup] for k in kinds if setup in self._setups_of(k)]
        self._rows.limit([*here, *[(table, -float(self.weighed.axis.at_a_table)) for table in tables]], high=0)

    def _limit_child(self, child: int) -> None:
        """Never without a table too long, not too many balls, and not too few beside the others."""
        slots, seats = range(self.weighed.axis.slots), self.given.seats
        idle = self.weighed.idle_slots
        for first in range(self.weighed.axis.slots - idle):
            window = range(first, first + idle + 1)
            closed = sum((slot, child) in seats for slot in window if slot not in self.open_slots)
            if not closed:
                self._rows.limit(self._over(set(window), child), low=1)
        closed = sum((slot, child) in seats for slot in slots if slot not in self.open_slots)
        self._rows.limit(self._over(set(slots), child), high=self.weighed.axis.most_slots - closed)
        part = self.weighed.least_share / len(self.weighed.children)
        all_closed = sum(slot not in self.open_slots for slot, _ in seats)
        everybody = [(unknown, -part) for unknown in self._children_at.values()]
        own = self._over(set(slots), child)
        self._rows.limit([*everybody, *own], low=part * all_closed - closed - 1e-9)

    def _over(self, slots: set[int], child: int) -> list[Term]:
        return [term for slot in self.open_slots if slot in slots for term in self._at_a_table(slot, child)]

    def _feed_children(self) -> None:
        for child in range(len(self.weighed.children)):
            self._feed_child(child, self._left(child))

    def _feed_child(self, child: int, left: ChildWeights) -> None:
        """As many combinations from a setup as turns there; a combination and a pair of values count once."""
        fed = {
            (setup, cell): self._rows.unknown()
            for setup, cell in np.argwhere(left.fits).tolist()
            if left.by_turn[cell] > 0
        }
        for setup in {setup for setup, _ in fed}:
            here = [(unknown, 1.0) for (place, _), unknown in fed.items() if place == setup]
            seats = [self._children_at[slot, child, setup] for slot in self.open_slots]
            self._rows.limit([*here, *[(seat, -float(self.weighed.axis.turns)) for seat in seats]], high=0)
        for cell in np.flatnonzero(left.alone).tolist():
            self._once(left.alone[cell], [unknown for (_, one), unknown in fed.items() if one == cell])
        for pair in np.flatnonzero(left.paired).tolist():
            self._once(left.paired[pair], [unknown for (_, one), unknown in fed.items() if left.holds[one, pair]])
        self._fed[child] = fed

    def _once(self, brings: float, any_of: Sequence[int]) -> None:
        counted = self._rows.unknown(brings, whole=False)
        self._rows.limit([(counted, 1.0), *[(unknown, -1.0) for unknown in any_of]], high=0)

    @cached_property
    def _fed(self) -> dict[int, dict[tuple[int, int], int]]:
        return {}

    def _left(self, child: int) -> ChildWeights:
        """What turns bring beside those of the slots that are closed."""
        return self.weighed.children[child].after(self._closed_cells(child))

    def _closed_cells(self, child: int) -> set[int]:
        seats = self.given.seats.items()
        return {
            cell for (slot, who), (_, cells) in seats if who == child and slot not in self.open_slots for cell in cells
        }

    @property
    def _settled(self) -> float:
        """What the closed slots bring, their moves left out that lie beside an open one."""
        cells = sum(one.of(self._closed_cells(child)) for child, one in enumerate(self.weighed.children))
        seats = sum(slot not in self.open_slots for slot, _ in self.given.seats)
        closed = [
            slot
            for slot in range(1, self.weighed.axis.slots)
            if slot not in self.open_slots and slot - 1 not in self.open_slots
        ]
        moves = sum(
            a != b
            for slot in closed
            for a, b in zip(self.given.standing[slot - 1], self.given.standing[slot], strict=True)
        )
        return cells + A_TURN * self.weighed.axis.turns * seats - self.weighed.move_cost * moves

    def _seating(self, found: FloatArray) -> Seating:
        places = {key: round(found[unknown]) for key, unknown in self._tables_at.items()}
        children = {(slot, child): setup for (slot, child, setup), u in self._children_at.items() if found[u] > 0.5}
        fed = {child: [key for key, u in chosen.items() if found[u] > 0.5] for child, chosen in self._fed.items()}
        return seated(self.weighed, self.given, self._kinds, places, children, fed)
