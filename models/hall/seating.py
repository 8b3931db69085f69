"""Who is at which table in each slot, where its feeder stands, and what is fed: what a search changes and compares."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from models.hall.weighed import A_TURN, Weighed

Cells = tuple[int, ...]


@dataclass(frozen=True)
class Seating:
    """The setup of every table in every slot (slots, tables), and of every child there the table and the combinations.

    `seats` has (slot, child) → (table, combinations of the turns); who is not in it rests in that slot.
    """

    standing: tuple[tuple[int, ...], ...]
    seats: Mapping[tuple[int, int], tuple[int, Cells]]

    @property
    def moves(self) -> int:
        """How often a feeder is moved."""
        slots = pairwise(self.standing)
        return sum(a != b for before, after in slots for a, b in zip(before, after, strict=True))

    def cells_of(self, child: int) -> set[int]:
        """The different combinations that a child is fed."""
        return {cell for (_, who), (_, cells) in self.seats.items() if who == child for cell in cells}

    def slots_of(self, child: int) -> list[int]:
        """The slots in which a child is at a table, in order."""
        return sorted(slot for slot, who in self.seats if who == child)

    def with_order(self, order: tuple[int, ...]) -> "Seating":
        """The same slots in another order: the first becomes the one of that number, and so on."""
        seats = {(order.index(slot), child): seat for (slot, child), seat in self.seats.items()}
        return Seating(tuple(self.standing[slot] for slot in order), seats)


def value_of(seating: Seating, weighed: Weighed) -> float:
    """What it brings all children, less what its moves have to bring."""
    brought = sum(weights.of(seating.cells_of(child)) for child, weights in enumerate(weighed.children))
    return brought + A_TURN * len(seating.seats) * weighed.axis.turns - weighed.move_cost * seating.moves


def bonus_of(seating: Seating, weighed: Weighed) -> float:
    """How much of that value is for balls that are most wanted or have to be in, beside what they bring."""
    return sum(float(own[sorted(seating.cells_of(child))].sum()) for child, own in enumerate(weighed.bonuses))


def broken_rules(seating: Seating, weighed: Weighed) -> list[str]:
    """What is not as it must be; nothing of a seating that can be kept."""
    return [*_broken_at_tables(seating, weighed), *_broken_for_children(seating, weighed)]


def _broken_at_tables(seating: Seating, weighed: Weighed) -> Iterator[str]:
    for slot, standing in enumerate(seating.standing):
        for table, setup in enumerate(standing):
            here = [child for (when, child), (where, _) in seating.seats.items() if (when, where) == (slot, table)]
            if setup not in weighed.tables[table]:
                yield f"slot {slot}: the feeder of table {table} cannot stand at setup {setup}"
            if len(here) > weighed.axis.at_a_table:
                yield f"slot {slot}: {len(here)} children at table {table}"
    for (slot, child), (table, cells) in seating.seats.items():
        fits = weighed.children[child].fits[seating.standing[slot][table]]
        if len(cells) != weighed.axis.turns or not all(fits[cell] for cell in cells):
            yield f"slot {slot}: child {child} cannot be fed {cells} at table {table}"


def _broken_for_children(seating: Seating, weighed: Weighed) -> Iterator[str]:
    counts = [len(seating.slots_of(child)) for child in range(len(weighed.children))]
    for child, count in enumerate(counts):
        if longest_idle(seating.slots_of(child), weighed.axis.slots) > weighed.idle_slots:
            yield f"child {child} is without a table too long"
        if count > weighed.axis.most_slots:
            yield f"child {child} gets too many balls"
        if count * len(counts) < weighed.least_share * sum(counts) - 1e-9:
            yield f"child {child} gets too little"


def longest_idle(slots: list[int], of: int) -> int:
    """Slots in a row in which a child is at no table, from the first slot of so many to the last."""
    ends = [-1, *slots, of]
    return max(after - before - 1 for before, after in pairwise(ends))
