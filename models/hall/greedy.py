"""A plain plan of the hall, at once: slot by slot, children go round, each feeder stands where it brings most."""

from dataclasses import dataclass, field, replace
from math import floor

from models.hall.axis import LEAST_SHARE
from models.hall.seating import Cells, Seating, longest_idle
from models.hall.weighed import ChildWeights, Weighed


def greedy(weighed: Weighed) -> Seating:
    """Whoever has had fewest slots, and of these has rested longest, comes next; then table by table.

    Of all tables and setups that is taken which brings its children most, a move counted; then the next.
    """
    draft = _Draft(weighed, list(weighed.children))
    for slot, count in enumerate(_children_in_slots(weighed)):
        draft.add(slot, count)
    return Seating(tuple(draft.standing), draft.seats)


def within_reach(weighed: Weighed, seating: Seating) -> Weighed:
    """The limits, each moved as far as a seating that was found cannot keep it: there is one that keeps these."""
    slots = [seating.slots_of(child) for child in range(len(weighed.children))]
    counts = [len(own) for own in slots]
    idle = max(longest_idle(own, weighed.axis.slots) for own in slots)
    mean = sum(counts) / len(counts)
    share = min(counts) / mean if mean else 0.0
    return replace(weighed, idle_slots=max(idle, weighed.idle_slots), least_share=min(share, weighed.least_share))


def _children_in_slots(weighed: Weighed) -> list[int]:
    """How many children come to a table in each slot: as many as fit, if nobody gets too small a share so."""
    children, slots = len(weighed.children), weighed.axis.slots
    places = min(len(weighed.tables) * weighed.axis.at_a_table, children)
    total = min(places * slots, children * weighed.axis.most_slots)
    while total > children and floor(total / children) < LEAST_SHARE * total / children:
        total -= 1
    return [(slot + 1) * total // slots - slot * total // slots for slot in range(slots)]


@dataclass
class _Draft:
    """The slots planned so far, and what each child's next turns would bring."""

    weighed: Weighed
    weights: list[ChildWeights]
    standing: list[tuple[int, ...]] = field(default_factory=list)
    seats: dict[tuple[int, int], tuple[int, Cells]] = field(default_factory=dict)

    def add(self, slot: int, count: int) -> None:
        """One more slot, with so many children at its tables."""
        waiting, stands = self._next(slot)[:count], dict[int, int]()
        while len(stands) < len(self.weighed.tables):
            table, setup, group = self._best_table(waiting, stands)
            stands[table] = setup
            for child in group:
                self._seat(slot, child, table, setup)
            waiting = [child for child in waiting if child not in group]
        self.standing.append(tuple(stands[table] for table in sorted(stands)))

    def _next(self, slot: int) -> list[int]:
        """The children in the order in which it is their turn."""
        last = {child: max((s for s, who in self.seats if who == child), default=-1) for child in self._everybody}
        counts = {child: sum(who == child for _, who in self.seats) for child in self._everybody}
        due = {child: slot - last[child] > self.weighed.idle_slots for child in self._everybody}
        return sorted(self._everybody, key=lambda child: (not due[child], counts[child], last[child], child))

    @property
    def _everybody(self) -> range:
        return range(len(self.weights))

    def _best_table(self, waiting: list[int], stands: dict[int, int]) -> tuple[int, int, list[int]]:
        """The table, its setup and its group that bring most, of the tables that have none yet."""
        options = [
            (self._brings(group, setup) - self._costs(table, setup), table, setup, group)
            for table, setups in enumerate(self.weighed.tables)
            if table not in stands
            for setup in setups
            for group in [self._group(waiting, setup)]
        ]
        _, table, setup, group = max(options, key=lambda one: (len(one[3]), round(one[0], 12), -one[1], -one[2]))
        return table, setup, group

    def _group(self, waiting: list[int], setup: int) -> list[int]:
        """Of those who wait the ones whom this setup brings most, as many as a table takes."""
        brings = {child: self.weights[child].best_at(setup, self.weighed.axis.turns) for child in waiting}
        fitting = [child for child in waiting if brings[child][1]]
        return sorted(fitting, key=lambda child: -round(brings[child][0], 12))[: self.weighed.axis.at_a_table]

    def _brings(self, group: list[int], setup: int) -> float:
        return sum(self.weights[child].best_at(setup, self.weighed.axis.turns)[0] for child in group)

    def _costs(self, table: int, setup: int) -> float:
        stays = not self.standing or self.standing[-1][table] == setup
        return 0.0 if stays else self.weighed.move_cost

    def _seat(self, slot: int, child: int, table: int, setup: int) -> None:
        _, cells = self.weights[child].best_at(setup, self.weighed.axis.turns)
        self.seats[slot, child] = table, cells
        self.weights[child] = self.weights[child].after(set(cells))
