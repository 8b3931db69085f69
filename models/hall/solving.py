"""The best hall plan within a time limit: the greedy answer, bettered by the integer programme as far as that goes.

Where the whole session is small enough it is one programme. Else it is solved two slots at a time, all others as they
are, again and again until no two slots can be bettered; how far the best plan could lie above is told by the programme
with children and tables in parts.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from models.hall.greedy import greedy, within_reach
from models.hall.programme import Programme, Solved
from models.hall.seated import in_place, kinds_of
from models.hall.seating import Seating, bonus_of, value_of
from models.hall.weighed import Weighed

SMALL = 400
"""Seats that may be taken, up to which the whole session is one programme: it is proven best within a second or so."""

TOGETHER = 2
"""Slots that are solved at a time where the session is larger."""

SAME = 1e-9
"""Values that differ by less are the same: sums of doubles depend on their order."""

SEED = 20261128

Clock = Callable[[], float]


@dataclass(frozen=True)
class Answer:
    """A seating, the limits that it keeps, its value, and an upper bound of any value."""

    weighed: Weighed
    seating: Seating
    value: float
    bound: float

    @property
    def is_best(self) -> bool:
        """Proven: none is worth more."""
        return self.value >= self.bound - 1e-6

    @property
    def gap(self) -> float:
        """By how much of what its balls bring another could bring more at most (share of 1).

        Another that gives as many children their most wanted ball: what that counts beside is left out, for it would
        make the share look small. Infinite where nothing is known.
        """
        brings = self.value - bonus_of(self.seating, self.weighed)
        return max(self.bound - self.value, 0.0) / max(brings, SAME)


def at_once(weighed: Weighed) -> Answer:
    """The greedy answer, its slots so that what is most wanted comes early."""
    seating = in_place(greedy(weighed), kinds_of(weighed))
    reached = within_reach(weighed, seating)
    return Answer(reached, seating, value_of(seating, reached), np.inf)


def bettered(answer: Answer, seconds: float, clock: Clock) -> Answer:
    """The best seating that is found within so many seconds by this clock; never worse than the one given."""
    weighed, until = answer.weighed, clock() + seconds
    every = tuple(range(weighed.axis.slots))
    if every and _seats(weighed) <= SMALL:
        return _better(answer, Programme(weighed, answer.seating, every).solved(seconds))
    bound = Programme(weighed, answer.seating, every).solved(seconds, relaxed=True).bound
    found = _by_parts(answer, until, clock)
    return Answer(weighed, found.seating, found.value, max(bound, found.value))


def _seats(weighed: Weighed) -> int:
    return sum(int(one.fits.any(axis=1).sum()) for one in weighed.children) * weighed.axis.slots


def _better(answer: Answer, solved: Solved) -> Answer:
    """The new seating where it is worth more; the old one else, with what is known of the best."""
    value = value_of(solved.seating, answer.weighed) if solved.seating else -np.inf
    bound = min(solved.bound, answer.bound)
    if solved.seating is None or value <= answer.value + SAME:
        return Answer(answer.weighed, answer.seating, answer.value, max(bound, answer.value))
    return Answer(answer.weighed, solved.seating, value, max(bound, value))


def _by_parts(answer: Answer, until: float, clock: Clock) -> Answer:
    """Two slots after two slots, until a whole round betters nothing or time is up."""
    draw, is_bettered = np.random.default_rng(SEED), True
    while is_bettered:
        before = answer.value
        for slots in _parts(answer.weighed.axis.slots, draw):
            if clock() >= until:
                return answer
            part = Programme(answer.weighed, answer.seating, slots).solved(until - clock())
            found = _better(answer, part)
            answer = Answer(answer.weighed, found.seating, found.value, np.inf)
        is_bettered = answer.value > before + SAME
    return answer


def _parts(slots: int, draw: np.random.Generator) -> Iterator[tuple[int, ...]]:
    every = list(combinations(range(slots), min(TOGETHER, slots)))
    yield from (every[at] for at in draw.permutation(len(every)))
