"""How often things come up, and which of them lie furthest apart."""

from collections import Counter
from collections.abc import Callable, Iterable
from operator import itemgetter
from typing import TypeVar

T = TypeVar("T")


def tally(things: Iterable[T]) -> dict[T, int]:
    """How often each comes up, the most common first; of equals the one that came first."""
    return dict(Counter(things).most_common())


def furthest_apart(
    things: Iterable[T], number: Callable[[T], float | None]
) -> tuple[tuple[float, T], tuple[float, T]] | None:
    """The lowest and the highest, each with its number; None where fewer than two have one. Of equals the first."""
    numbered = [(value, thing) for thing in things if (value := number(thing)) is not None]
    if len(numbered) < 2:
        return None
    return min(numbered, key=itemgetter(0)), max(numbered, key=itemgetter(0))
