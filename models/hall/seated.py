"""From numbers of tables and children at each setup to who is at which table: so that no feeder is moved needlessly."""

from collections.abc import Mapping, Sequence

from models.hall.seating import Cells, Seating
from models.hall.weighed import Weighed

Group = tuple[int, dict[int, Cells]]
"""The setup of a table in a slot, and its children with what they are fed."""


def seated(
    weighed: Weighed,
    given: Seating,
    kinds: Sequence[tuple[int, ...]],
    places: Mapping[tuple[int, int, int], int],
    children: Mapping[tuple[int, int], int],
    fed: Mapping[int, Sequence[tuple[int, int]]],
) -> Seating:
    """The seating `given` with other slots: of (slot, kind, setup) how many tables, of (slot, child) which setup.

    `fed` has each child's (setup, combination) for all these slots; they are spread over them, most wanted first.
    """
    open_slots = {slot for slot, _, _ in places}
    cells = _spread(weighed, children, fed)
    groups: dict[tuple[int, int], Group] = {}
    for slot in range(weighed.axis.slots):
        if slot in open_slots:
            groups |= _opened(slot, kinds, places, children, cells, weighed.axis.at_a_table)
        else:
            groups |= {(slot, table): group for table, group in _groups_of(given, slot).items()}
    return _in_place(groups, kinds, weighed.axis.slots)


def in_place(given: Seating, kinds: Sequence[tuple[int, ...]]) -> Seating:
    """The same seating, its tables of one kind exchanged where that spares a move."""
    slots = range(len(given.standing))
    groups = {(slot, table): group for slot in slots for table, group in _groups_of(given, slot).items()}
    return _in_place(groups, kinds, len(given.standing))


def kinds_of(weighed: Weighed) -> list[tuple[int, ...]]:
    """The tables that can stand at the same setups, together."""
    by_setups: dict[tuple[int, ...], list[int]] = {}
    for table, setups in enumerate(weighed.tables):
        by_setups.setdefault(setups, []).append(table)
    return [tuple(tables) for tables in by_setups.values()]


def _groups_of(seating: Seating, slot: int) -> dict[int, Group]:
    groups: dict[int, Group] = {table: (setup, {}) for table, setup in enumerate(seating.standing[slot])}
    for (when, child), (table, cells) in seating.seats.items():
        if when == slot:
            groups[table][1][child] = cells
    return groups


def _spread(
    weighed: Weighed, children: Mapping[tuple[int, int], int], fed: Mapping[int, Sequence[tuple[int, int]]]
) -> dict[tuple[int, int], Cells]:
    """For each (slot, child) the combinations of its turns; where turns are left over, some come again."""
    turns = weighed.axis.turns
    found = {}
    for child, chosen in fed.items():
        for setup in {place for (_, who), place in children.items() if who == child}:
            fitting = [cell for cell, fits in enumerate(weighed.children[child].fits[setup]) if fits]
            cells = sorted(cell for place, cell in chosen if place == setup)
            again = [*cells, *[cell for cell in fitting if cell not in cells]]
            slots = sorted(slot for (slot, who), place in children.items() if (who, place) == (child, setup))
            for at, slot in enumerate(slots):
                found[slot, child] = tuple(again[turn % len(again)] for turn in range(at * turns, (at + 1) * turns))
    return found


def _opened(
    slot: int,
    kinds: Sequence[tuple[int, ...]],
    places: Mapping[tuple[int, int, int], int],
    children: Mapping[tuple[int, int], int],
    cells: Mapping[tuple[int, int], Cells],
    at_a_table: int,
) -> dict[tuple[int, int], Group]:
    """The groups of a slot, by (slot, table): who is at a setup is spread over its tables, as evenly as may be."""
    groups: dict[tuple[int, int], Group] = {}
    for kind, tables in enumerate(kinds):
        here = [setup for (when, of, setup), n in places.items() if (when, of) == (slot, kind) for _ in range(n)]
        groups |= {(slot, table): (setup, {}) for table, setup in zip(tables, here, strict=True)}
    for (when, child), setup in sorted(children.items()):
        if when == slot:
            there = [group for place, group in groups.values() if place == setup and len(group) < at_a_table]
            min(there, key=len)[child] = cells[slot, child]
    return groups


def _in_place(groups: Mapping[tuple[int, int], Group], kinds: Sequence[tuple[int, ...]], slots: int) -> Seating:
    """As a seating; a group of a kind is at the table that stands right already, wherever one does."""
    tables = sorted(table for kind in kinds for table in kind)
    before: dict[int, int] = {}
    standing: list[tuple[int, ...]] = []
    seats: dict[tuple[int, int], tuple[int, Cells]] = {}
    for slot in range(slots):
        taken: dict[int, Group] = {}
        for kind in kinds:
            taken |= _matched([groups[slot, table] for table in kind], kind, before)
        before = {table: setup for table, (setup, _) in taken.items()}
        standing.append(tuple(before[table] for table in tables))
        seats |= {(slot, child): (t, cells) for t, (_, group) in taken.items() for child, cells in group.items()}
    return Seating(tuple(standing), seats)


def _matched(groups: list[Group], tables: Sequence[int], before: Mapping[int, int]) -> dict[int, Group]:
    taken: dict[int, Group] = {}
    for table in tables:
        at = next((at for at, (setup, _) in enumerate(groups) if setup == before.get(table)), None)
        if at is not None:
            taken[table] = groups.pop(at)
    left = [table for table in tables if table not in taken]
    return taken | dict(zip(left, groups, strict=True))
