"""Hall plans by a plain slow search: every seating there is, each worth what `models.worth` says block after block."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from functools import cache
from itertools import combinations, pairwise, product

import numpy as np

from models.hall.asked import Child, HallAsk, Station
from models.hall.weighed import A_TURN, FIRST, Weighed
from models.planned import Gap, Stand
from models.settings import Settings
from models.stance import Place
from models.worth import Cell, Wanted

SETTINGS = Settings(covered_balls=10, planned_balls=30, block_pause_minutes=2, feeder_move_minutes=3)
STANDS = {
    code: Stand(code, depth, side, Place(x_cm, y_cm))
    for code, depth, side, x_cm, y_cm in [
        ("BL", "back", "backhand", -15.0, -50.0),
        ("BR", "back", "forehand", -15.0, 50.0),
        ("NC", "near", "centre", 105.0, 0.0),
    ]
}


def child(code: str, draw: np.random.Generator) -> Child:
    """A child of some of eight combinations from three places, some of them met before."""
    every = list(product(("back", "near"), ("forehand", "backhand", "centre"), ("topspin", "backspin")))
    chosen = draw.choice(len(every), int(draw.integers(2, 7)), replace=False)
    wanted = [
        Wanted(
            dict(zip(("depth", "side", "spin_family"), every[at], strict=True)),
            float(draw.integers(1, 5)) / 10,
            int(draw.choice([0, 0, 4, 12])),
            int(draw.integers(0, 80)),
            bool(draw.random() < 0.1),
        )
        for at in chosen.tolist()
    ]
    return of_wanted(code, [*wanted, NEAR], SETTINGS)


NEAR = Wanted({"depth": "near", "side": "centre", "spin_family": "no_spin"}, 0.2, 0, None)
"""So that every child can be fed something from somewhere."""


def of_wanted(code: str, wanted: list[Wanted], settings: Settings) -> Child:
    """A child with a target: the gaps by rank, then what is covered."""
    return Child.on_a_day(code, wanted, STANDS, settings, but=())


def small_ask(seed: int) -> HallAsk:
    """One to three children at one or two tables, for two or three slots."""
    draw = np.random.default_rng([20261128, seed])
    children = tuple(child(f"child {number}", draw) for number in range(int(draw.integers(1, 4))))
    tables = int(draw.integers(1, 3)) if len(children) > 1 else 1
    stations = tuple(
        Station(
            f"table {number}", "robot", tuple(sorted(draw.choice(list(STANDS), 2, replace=False)) if number else STANDS)
        )
        for number in range(tables)
    )
    minutes = 17.0 if tables == 2 else float(draw.choice([17.0, 26.0]))
    return HallAsk(children, stations, minutes, SETTINGS, longest_wait_minutes=float(draw.choice([12.0, 30.0])))


def best_by_trying(weighed: Weighed) -> float:
    """The most that any seating within the limits is worth."""
    return max(_value(slots, weighed) for slots in _seatings(weighed))


Slot = tuple[tuple[int, ...], tuple[int | None, ...]]
"""The setup of every table, and the table of every child (None: rests)."""


def _seatings(weighed: Weighed) -> Iterator[tuple[Slot, ...]]:
    one_slot = [slot for slot in _slots(weighed) if _is_possible(slot, weighed)]
    for slots in product(one_slot, repeat=weighed.axis.slots):
        if _keeps_limits(slots, weighed):
            yield slots


def _slots(weighed: Weighed) -> Iterator[Slot]:
    tables = [None, *range(len(weighed.tables))]
    yield from product(product(*weighed.tables), product(tables, repeat=len(weighed.children)))


def _is_possible(slot: Slot, weighed: Weighed) -> bool:
    standing, seats = slot
    crowds = Counter(table for table in seats if table is not None)
    fitting = (weighed.children[c].fits[standing[table]].any() for c, table in enumerate(seats) if table is not None)
    return all(fitting) and all(count <= weighed.axis.at_a_table for count in crowds.values())


def _keeps_limits(slots: tuple[Slot, ...], weighed: Weighed) -> bool:
    at_tables = [[slot[1][child] is not None for slot in slots] for child in range(len(weighed.children))]
    counts = [sum(own) for own in at_tables]
    rows = ["".join("x" if is_there else "." for is_there in own) for own in at_tables]
    return (
        all("." * (weighed.idle_slots + 1) not in row for row in rows)
        and max(counts) <= weighed.axis.most_slots
        and min(counts) >= weighed.least_share * sum(counts) / len(counts) - 1e-9
    )


def _value(slots: tuple[Slot, ...], weighed: Weighed) -> float:
    moves = sum(a != b for one, other in pairwise(slots) for a, b in zip(one[0], other[0], strict=True))
    worth = -weighed.move_cost * moves
    for number in range(len(weighed.children)):
        setups = Counter(slot[0][slot[1][number]] for slot in slots if slot[1][number] is not None)
        turns = tuple(sorted((weighed.setups[setup], n * weighed.axis.turns) for setup, n in setups.items()))
        worth += _most_for(_Key(weighed.ask, weighed.setups), number, turns) + A_TURN * sum(n for _, n in turns)
    return worth


class _Key(tuple[HallAsk, tuple[str, ...]]):
    """What a value hangs on, hashed by identity."""

    def __new__(cls, ask: HallAsk, setups: tuple[str, ...]) -> _Key:
        return super().__new__(cls, (ask, setups))

    def __hash__(self) -> int:
        return id(self[0])

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Key) and self[0] is other[0]


@cache
def _most_for(key: _Key, number: int, turns: tuple[tuple[str, int], ...]) -> float:
    """The best choice of combinations for so many turns from each setup."""
    ask, setups = key
    one = ask.children[number]
    fitting = {setup: [gap for gap in one.wanted if gap.is_fed_from(one.stands[setup])] for setup, _ in turns}
    choices = [list(combinations(fitting[setup], min(n, len(fitting[setup])))) for setup, n in turns]
    first = next((gap for gap in one.wanted if any(gap.is_fed_from(one.stands[s]) for s in setups)), None)
    return max(
        (_worth(one, {gap.cell for part in chosen for gap in part}, first) for chosen in product(*choices)), default=0.0
    )


def _worth(one: Child, cells: set[Cell], first: Gap | None) -> float:
    shortfall, worth = one.shortfall, 0.0
    for cell in cells:
        worth += shortfall.worth(cell, 30)
        shortfall = shortfall.after(cell, 30)
    return worth + FIRST * (first is not None and first.why != "again" and first.cell in cells)
