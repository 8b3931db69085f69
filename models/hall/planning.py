"""A hall plan, from what is asked to what is told: at once, and better after some seconds."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import combinations

from models.hall.asked import HallAsk
from models.hall.seated import in_place, kinds_of
from models.hall.seating import Seating, broken_rules
from models.hall.solving import Answer, at_once, bettered
from models.hall.told import HallPlan, told
from models.hall.weighed import weighed
from models.refusal import Refused


class NobodyHasAPlace(Refused):
    """Not one of the tables can feed what anybody here is wanted to meet."""


@dataclass(frozen=True)
class HallDraft:
    """A plan that is good enough to begin with, and what is needed to better it."""

    ask: HallAsk
    without_a_place: tuple[str, ...]
    answer: Answer

    @property
    def plan(self) -> HallPlan:
        """As it is told."""
        early = replace(self.answer, seating=_most_wanted_early(self.answer))
        return told(self.ask, early, self.without_a_place)

    def bettered(self, seconds: float, clock: Callable[[], float]) -> "HallDraft":
        """The same after so many seconds of search by this clock; never worse."""
        return replace(self, answer=bettered(self.answer, seconds, clock))


def first_draft(ask: HallAsk) -> HallDraft:
    """The plain plan, at once. Raises NobodyHasAPlace, and NoTurnFits."""
    setups = {setup for station in ask.stations for setup in station.setups}
    placed = tuple(
        child
        for child in ask.children
        if any(gap.is_fed_from(child.stands[setup]) for gap in child.wanted for setup in setups)
    )
    if not placed:
        raise NobodyHasAPlace("No table here can feed what the targets of these players want. Add a setup, or a table.")
    asked = replace(ask, children=placed)
    others = tuple(child.code for child in ask.children if child not in placed)
    return HallDraft(asked, others, at_once(weighed(asked)))


def _most_wanted_early(answer: Answer) -> Seating:
    """The same slots in such an order that what is worth most comes first, where no limit and no move stands against.

    Two slots are exchanged as long as that brings what is wanted earlier.
    """
    kinds, best = kinds_of(answer.weighed), answer.seating
    slots, is_earlier = range(answer.weighed.axis.slots), True
    while is_earlier:
        is_earlier = False
        for one, other in combinations(slots, 2):
            order = tuple({one: other, other: one}.get(slot, slot) for slot in slots)
            tried = in_place(best.with_order(order), kinds)
            if _lateness(tried, answer) < _lateness(best, answer) - 1e-9 and _is_as_good(tried, best, answer):
                best, is_earlier = tried, True
    return best


def _lateness(seating: Seating, answer: Answer) -> float:
    """Slots until each combination is fed first, weighed by what it is worth from the start."""
    first: dict[tuple[int, int], int] = {}
    for (slot, child), (_, cells) in sorted(seating.seats.items()):
        for cell in cells:
            first.setdefault((child, cell), slot)
    return sum(slot * float(answer.weighed.children[child].by_turn[cell]) for (child, cell), slot in first.items())


def _is_as_good(tried: Seating, best: Seating, answer: Answer) -> bool:
    return tried.moves <= best.moves and not broken_rules(tried, answer.weighed)
