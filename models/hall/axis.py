"""How the minutes of a session in the hall are divided: slots of equal length, with a change between them.

In a slot the children at a table take turns, each the same number of times; a turn is one block of one kind of ball.
Between slots children change, balls are picked up, and a feeder is moved where it has to be.
"""

from dataclasses import dataclass
from functools import cached_property
from math import ceil, floor

from models.hall.asked import HallAsk
from models.refusal import Refused
from models.worth import block_balls, block_minutes

FEWEST_AT_A_TABLE, USUAL_AT_A_TABLE = 2, 3
"""Setting: one plays and one gathers; a third gets ready."""

USUAL_SLOT_MINUTES = 12.0
"""Setting: how long children stay at one table where few share it."""

LEAST_SHARE = 0.8
"""Setting: nobody gets fewer turns than this share of the mean."""


class NoTurnFits(Refused):
    """The session is too short for a single turn; the text says how long one takes."""


@dataclass(frozen=True)
class Axis:
    """The slots of a session, in minutes from its begin, and what holds of each.

    At most `at_a_table` children share a table, each with `turns` turns of `turn_minutes` and `balls` balls. Nobody is
    without a table for more than `most_idle_slots` in a row, nor has more than `most_slots` in all.
    """

    begins: tuple[float, ...]
    turn_minutes: float
    change_minutes: float
    balls: int
    at_a_table: int
    turns: int
    most_idle_slots: int
    most_slots: int

    @property
    def slots(self) -> int:
        """How many."""
        return len(self.begins)

    @property
    def slot_minutes(self) -> float:
        """How long one is, without the change after it."""
        return self.turn_minutes * self.turns * self.at_a_table

    def break_before(self, slot: int) -> float:
        """Minutes of the break before a slot; 0 where there is none."""
        if slot == 0:
            return self.begins[0]
        return self.begins[slot] - self.begins[slot - 1] - self.slot_minutes - self.change_minutes


def axis_of(ask: HallAsk) -> Axis:
    """The axis on which nobody waits longer than is asked, with as few at a table as that allows.

    Where no number of children at a table keeps the wait, the one that comes nearest. Raises NoTurnFits.
    """
    children, tables = len(ask.children), len(ask.stations)
    shared = ceil(children / tables)
    usual = min(max(shared, FEWEST_AT_A_TABLE), USUAL_AT_A_TABLE, children)
    drafts = [_Draft(ask, at_a_table) for at_a_table in range(usual, max(shared, usual) + 1)]
    fitting = [draft for draft in drafts if draft.slots]
    if not fitting:
        raise NoTurnFits(
            f"A turn of {drafts[0].balls} balls takes {drafts[0].turn_minutes:g} minutes, and {ask.minutes:g} minutes "
            "with these breaks have no room for one. Give more minutes."
        )
    keeping = [draft for draft in fitting if draft.wait_minutes <= ask.longest_wait_minutes]
    return (keeping[0] if keeping else min(fitting, key=lambda draft: draft.wait_minutes)).axis


@dataclass(frozen=True)
class _Draft:
    """A division of the minutes with so many children at a table."""

    ask: HallAsk
    at_a_table: int

    @property
    def balls(self) -> int:
        """Of a turn: so many that one turn covers a combination."""
        return block_balls(self.ask.settings.covered_balls, self.ask.settings)

    @cached_property
    def turn_minutes(self) -> float:
        """As long as the slowest wanted ball takes, in whole minutes: every table keeps the same time."""
        tempos = {gap.words.get("tempo_band") for child in self.ask.children for gap in child.wanted} or {None}
        return float(ceil(max(block_minutes(self.balls, tempo, self.ask.settings) for tempo in tempos)))

    @cached_property
    def turns(self) -> int:
        """As many as a slot holds, but no more than the session does, nor than the most balls of a child allow."""
        turns = max(floor(USUAL_SLOT_MINUTES / (self.turn_minutes * self.at_a_table)), 1)
        while turns > 1 and not self._is_allowed(turns):
            turns -= 1
        return turns

    @cached_property
    def slots(self) -> int:
        """How many fit beside the changes and breaks."""
        return self._slots(self.turns)

    def _slots(self, turns: int) -> int:
        change_minutes = self.ask.settings.feeder_move_minutes
        free_minutes = self.ask.minutes - self.ask.breaks * self.ask.break_minutes + change_minutes
        return max(floor(round(free_minutes / (turns * self.at_a_table * self.turn_minutes + change_minutes), 9)), 0)

    def _is_allowed(self, turns: int) -> bool:
        is_few = self._slots_of_a_child(turns) * turns * self.balls <= self.ask.most_balls
        return is_few and self._slots(turns) > 0

    def _slots_of_a_child(self, turns: int) -> float:
        slots, places = self._slots(turns), len(self.ask.stations) * self.at_a_table
        return min(slots, ceil(slots * places / len(self.ask.children)))

    @property
    def most_slots(self) -> int:
        """Of one child, by the most balls; one at least."""
        return max(min(self.ask.most_balls // (self.turns * self.balls), self.slots), 1)

    @property
    def idle_slots(self) -> int:
        """In a row, where the children go round: as few as everybody can have."""
        children = len(self.ask.children)
        places = min(len(self.ask.stations) * self.at_a_table, children)
        by_balls = max(children * self.most_slots // self.slots, 1)
        return ceil(children / min(places, by_balls)) - 1

    @property
    def wait_minutes(self) -> float:
        """The longest that anybody can wait then, the turns of both tables taken at their worst."""
        return self._wait(self.idle_slots)

    def _wait(self, idle_slots: int) -> float:
        change_minutes = self.ask.settings.feeder_move_minutes
        slot_minutes = self.turns * self.at_a_table * self.turn_minutes
        return (idle_slots + 1) * change_minutes + idle_slots * slot_minutes + self._within_minutes

    @property
    def _within_minutes(self) -> float:
        """After the last turn at one table and before the first at the next."""
        return 2 * (self.at_a_table - 1) * self.turn_minutes

    @property
    def axis(self) -> Axis:
        """With the begin of every slot, and as many idle slots in a row as the wait allows."""
        idle_slots = self.idle_slots
        while idle_slots < self.slots and self._wait(idle_slots + 1) <= self.ask.longest_wait_minutes:
            idle_slots += 1
        step = self.turns * self.at_a_table * self.turn_minutes + self.ask.settings.feeder_move_minutes
        breaks_before = [(self.ask.breaks + 1) * slot // self.slots for slot in range(self.slots)]
        return Axis(
            tuple(slot * step + breaks * self.ask.break_minutes for slot, breaks in enumerate(breaks_before)),
            self.turn_minutes,
            self.ask.settings.feeder_move_minutes,
            self.balls,
            self.at_a_table,
            self.turns,
            idle_slots,
            self.most_slots,
        )
