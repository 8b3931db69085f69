"""A hall plan as it is told and kept: slot by slot, table by table, turn by turn, who does what."""

from collections.abc import Iterator
from dataclasses import dataclass

from models.hall.asked import AGAIN, Child, HallAsk, Station
from models.hall.axis import Axis
from models.hall.seating import Cells
from models.hall.solving import Answer
from models.planned import Drill, Gap, LeftOut, Plan, PlannedBlock
from models.worth import Cell, assumed_bpm


@dataclass(frozen=True)
class Turn:
    """One child's block: when it begins (minutes from the begin), who feeds and who gathers (None: no child)."""

    begin: float
    minutes: float
    player: str
    feeds: str | None
    gathers: str | None
    drill: Drill

    @property
    def block(self) -> PlannedBlock:
        """As a block of the player's own plan."""
        return PlannedBlock((self.drill,), self.minutes)


@dataclass(frozen=True)
class TableSlot:
    """A table in a slot: where its feeder stands, whether it was moved there before, and the turns."""

    station: Station
    setup: str
    is_moved: bool
    turns: tuple[Turn, ...]

    @property
    def players(self) -> tuple[str, ...]:
        """Who is there, in the order of their first turns."""
        return tuple(dict.fromkeys(turn.player for turn in self.turns))


@dataclass(frozen=True)
class HallSlot:
    """All tables for some minutes, and who rests meanwhile."""

    begin: float
    minutes: float
    break_before: float
    tables: tuple[TableSlot, ...]
    resting: tuple[str, ...]


@dataclass(frozen=True)
class HallPlan:
    """A session in the hall. `gap`: by what share of what its balls bring another could be better; 0: proven best."""

    stations: tuple[Station, ...]
    children: tuple[str, ...]
    slots: tuple[HallSlot, ...]
    left_out: dict[str, tuple[LeftOut, ...]]
    without_a_place: tuple[str, ...]
    gap: float
    asked_wait_minutes: float

    @property
    def turns(self) -> tuple[Turn, ...]:
        """All of them, by time and table."""
        return tuple(turn for slot in self.slots for table in slot.tables for turn in table.turns)

    def turns_of(self, player: str) -> tuple[Turn, ...]:
        """One child's, in order."""
        return tuple(sorted((turn for turn in self.turns if turn.player == player), key=lambda turn: turn.begin))

    def balls_of(self, player: str) -> int:
        """All that a child is to be fed."""
        return sum(turn.drill.balls for turn in self.turns_of(player))

    def plan_of(self, player: str) -> Plan:
        """One child's blocks as a plan of its own."""
        blocks = tuple(turn.block for turn in self.turns_of(player))
        return Plan(blocks, sum(block.minutes for block in blocks))

    @property
    def moves(self) -> int:
        """How often a feeder is moved."""
        return sum(table.is_moved for slot in self.slots for table in slot.tables)

    @property
    def end(self) -> float:
        """When the last slot ends, in minutes from the begin."""
        return self.slots[-1].begin + self.slots[-1].minutes

    def waits_of(self, player: str) -> tuple[float, ...]:
        """The minutes from one turn of a child to the next, and before the first and after the last; without breaks."""
        turns = self.turns_of(player)
        ends = [0.0, *(turn.begin + turn.minutes for turn in turns)]
        begins = [*(turn.begin for turn in turns), self.end]
        return tuple(begin - end - self._break_within(end, begin) for end, begin in zip(ends, begins, strict=True))

    def _break_within(self, end: float, begin: float) -> float:
        return sum(slot.break_before for slot in self.slots if end <= slot.begin <= begin)

    @property
    def longest_wait(self) -> float:
        """Of any child."""
        return max((wait for player in self.children for wait in self.waits_of(player)), default=0.0)

    @property
    def keeps_wait(self) -> bool:
        """Nobody waits longer than was asked."""
        return self.longest_wait <= self.asked_wait_minutes + 1e-9


def told(ask: HallAsk, answer: Answer, without_a_place: tuple[str, ...]) -> HallPlan:
    """The finished plan of an answer; `ask` has the children who have a place."""
    codes = tuple(child.code for child in ask.children)
    slots = tuple(_slot(ask, answer, slot) for slot in range(answer.weighed.axis.slots))
    fed = {(turn.player, turn.drill.gap.cell) for slot in slots for table in slot.tables for turn in table.turns}
    left_out = {child.code: _left_out(child, ask, fed) for child in ask.children}
    return HallPlan(ask.stations, codes, slots, left_out, without_a_place, answer.gap, ask.longest_wait_minutes)


def _left_out(child: Child, ask: HallAsk, fed: set[tuple[str, Cell]]) -> tuple[LeftOut, ...]:
    stands = [child.stands[setup] for station in ask.stations for setup in station.setups]
    lacking = (gap for gap in child.wanted if gap.why != AGAIN and (child.code, gap.cell) not in fed)
    return tuple(LeftOut(gap, "no_time" if any(map(gap.is_fed_from, stands)) else "no_setup") for gap in lacking)


def _slot(ask: HallAsk, answer: Answer, slot: int) -> HallSlot:
    axis, seats = answer.weighed.axis, answer.seating.seats
    tables = tuple(_table(ask, answer, slot, table) for table in range(len(ask.stations)))
    here = {child for when, child in seats if when == slot}
    resting = tuple(child.code for at, child in enumerate(ask.children) if at not in here)
    return HallSlot(axis.begins[slot], axis.slot_minutes, axis.break_before(slot), tables, resting)


def _table(ask: HallAsk, answer: Answer, slot: int, table: int) -> TableSlot:
    seating, weighed = answer.seating, answer.weighed
    setup = seating.standing[slot][table]
    is_moved = slot > 0 and seating.standing[slot - 1][table] != setup
    last = {
        child: max((s for s in seating.slots_of(child) if s < slot), default=-1) for child in range(len(ask.children))
    }
    here = {child: cells for (when, child), (where, cells) in seating.seats.items() if (when, where) == (slot, table)}
    order = sorted(here, key=lambda child: (last[child], child))
    turns = _turns(ask, weighed.axis, slot, ask.stations[table], weighed.setups[setup], {at: here[at] for at in order})
    return TableSlot(ask.stations[table], weighed.setups[setup], is_moved, tuple(turns))


def _turns(ask: HallAsk, axis: Axis, slot: int, station: Station, setup: str, here: dict[int, Cells]) -> Iterator[Turn]:
    """One after the other, in rounds: whoever comes next feeds where a partner does, and the one after them gathers."""
    order = list(here)
    for number in range(axis.turns):
        for place, at in enumerate(order):
            child = ask.children[at]
            others = [ask.children[one].code for one in (*order[place + 1 :], *order[:place])]
            feeds = others.pop(0) if station.feeding == "partner" and others else None
            begin = axis.begins[slot] + (number * axis.at_a_table + place) * axis.turn_minutes
            drill = _drill(child.wanted[here[at][number]], child, setup, ask, axis.balls)
            yield Turn(begin, axis.turn_minutes, child.code, feeds, others[0] if others else None, drill)


def _drill(gap: Gap, child: Child, setup: str, ask: HallAsk, balls: int) -> Drill:
    return Drill(gap, child.stands[setup], balls, assumed_bpm(gap.words.get("tempo_band"), ask.settings))
