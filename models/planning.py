"""The blocks of a player's next session: the gaps in their order of rank, as far as the minutes go.

Nothing here promises what is learnt. The order of blocks is that of the shortest way for the feeder; within a place it
is that of the rank.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise, permutations
from typing import Literal

from models.settings import Settings
from models.stance import Place, distance_cm

Order = Literal["blocked", "random"]
WhyLeftOut = Literal["no_setup", "too_many_moves", "no_time"]
Feed = dict[str, str | float]

MOST_SETUPS = 6
"""Setting: places of the feeder in one session; so few that every way between them can be tried."""

MOST_MIXED = 4
"""Setting: kinds of ball that are mixed in one block; more are hard to feed and to keep apart while counting."""

WITHIN_CM = 1e-6
"""Ways that differ by less are equally long: sums of doubles depend on their order."""

FASTEST_BPM, SLOWEST_BPM = 200.0, 1.0
"""The bounds of a tempo in the log."""

COLUMNS = ("sidespin", "length", "placement", "height")
"""What a combination of a target says of a feed in the very words of the log."""


@dataclass(frozen=True)
class Gap:
    """A wanted combination that a player lacks: its rank, its words by dimension (None: any), and why it is wanted."""

    rank: int
    words: Mapping[str, str | None]
    need_balls: int
    why: str


@dataclass(frozen=True)
class Stand:
    """A setup as the player meets it: its code, where it stands to the player, and its place from above."""

    setup: str
    depth: str
    side: str
    place: Place


@dataclass(frozen=True)
class Drill:
    """A gap as it is to be fed: from where, how many balls, how fast (balls/min, assumed where the target is open)."""

    gap: Gap
    stand: Stand
    balls: int
    tempo_bpm: float

    @property
    def feed(self) -> Feed:
        """The ball in the words of the ball log, with its tempo where the target asks for one."""
        tempo: Feed = {"tempo_bpm": self.tempo_bpm} if self.gap.words.get("tempo_band") else {}
        return feed_of(self.gap.words, self.stand.setup) | tempo


@dataclass(frozen=True)
class PlannedBlock:
    """Drills that are fed together from one setup: one alone, or several mixed."""

    drills: tuple[Drill, ...]
    minutes: float

    @property
    def order(self) -> Order:
        """As the log calls it."""
        return "blocked" if len(self.drills) == 1 else "random"

    @property
    def stand(self) -> Stand:
        """Where the feeder stands."""
        return self.drills[0].stand

    @property
    def balls(self) -> int:
        """All balls of the block."""
        return sum(drill.balls for drill in self.drills)


@dataclass(frozen=True)
class LeftOut:
    """A gap that is not in the plan: no setup stands so, the feeder would move too often, or no time is left."""

    gap: Gap
    why: WhyLeftOut


@dataclass(frozen=True)
class Plan:
    """Blocks in the order in which they are fed, and what is left out; minutes with pauses and moves."""

    blocks: tuple[PlannedBlock, ...]
    minutes: float
    left_out: tuple[LeftOut, ...] = ()

    @property
    def moves(self) -> tuple[tuple[Stand, Stand], ...]:
        """From where to where the feeder is moved, in order."""
        return tuple((a.stand, b.stand) for a, b in pairwise(self.blocks) if a.stand != b.stand)

    @property
    def balls(self) -> int:
        """All balls."""
        return sum(block.balls for block in self.blocks)

    @property
    def drills(self) -> tuple[Drill, ...]:
        """The drills of all blocks."""
        return tuple(drill for block in self.blocks for drill in block.drills)


def feed_of(words: Mapping[str, str | None], setup: str | None) -> Feed:
    """A wanted combination in the words of the ball log; what the target leaves open is left open."""
    # The middle word of a family is the plain one: backspin, no spin, topspin.
    said = {"setup": setup, "spin": words.get("spin") or words.get("spin_family")}
    said |= {column: words.get(column) for column in COLUMNS}
    return {column: word for column, word in said.items() if word is not None}


def plan(gaps: Iterable[Gap], stands: Sequence[Stand], minutes: float, settings: Settings) -> Plan:
    """The next session of so many minutes: each gap in the order of rank that still fits.

    A gap gets the balls that it needs to be covered, at least `planned_balls`; from a setup that is in the plan
    already, else from the nearest to those. Where it would need a move too many, or more minutes than are left, it is
    left out and the next one is tried. Every gap is in one block, or left out for one reason.
    """
    drills: list[Drill] = []
    left_out: list[LeftOut] = []
    for gap in sorted(gaps, key=lambda gap: gap.rank):
        stand = _stand_for(gap, stands, [drill.stand for drill in drills])
        longer = [*drills, _drill(gap, stand, settings)] if stand else []
        why = _why_not(longer, minutes, settings)
        if why is None:
            drills = longer
        else:
            left_out.append(LeftOut(gap, why))
    return replace(arranged(drills, settings), left_out=tuple(left_out))


def arranged(drills: Iterable[Drill], settings: Settings) -> Plan:
    """Drills as blocks: the setups by the shortest way for the feeder, of equally short ones by rank; then by rank."""
    drills = sorted(drills, key=lambda drill: drill.gap.rank)
    way = shortest_way(_used(drills))
    blocks = sorted(_blocks(drills, settings), key=lambda block: way.index(block.stand))
    return Plan(tuple(blocks), _minutes(drills, settings))


def with_balls(plan: Plan, balls: Mapping[int, int], settings: Settings) -> Plan:
    """The plan with other numbers of balls, by rank of the gap; a drill with none is left out. It may take longer."""
    drills = [replace(drill, balls=balls.get(drill.gap.rank, drill.balls)) for drill in plan.drills]
    shorter = arranged([drill for drill in drills if drill.balls > 0], settings)
    return replace(shorter, left_out=plan.left_out)


def shortest_way(stands: Sequence[Stand]) -> tuple[Stand, ...]:
    """All of at most `MOST_SETUPS` places, each once, with the least way between them; the feeder may begin anywhere.

    Of equally short ways the one that comes first in the order of the places given. All are tried.
    """
    return min(permutations(stands), key=lambda way: round(way_cm(way) / WITHIN_CM))


def way_cm(stands: Iterable[Stand]) -> float:
    """How far the feeder is moved in all, as the crow flies."""
    return sum(distance_cm(one.place, other.place) for one, other in pairwise(stands))


def assumed_bpm(tempo_band: str | None, settings: Settings) -> float:
    """A tempo well within a band; the middle one where the target leaves it open (assumed, no published basis)."""
    slow, fast = settings.slow_below_bpm, settings.fast_from_bpm
    if tempo_band == "slow":
        return max(SLOWEST_BPM, 0.75 * slow)
    return min(FASTEST_BPM, 1.25 * fast) if tempo_band == "fast" else (slow + fast) / 2


def _stand_for(gap: Gap, stands: Iterable[Stand], used: Sequence[Stand]) -> Stand | None:
    fitting = [stand for stand in stands if _is_wanted(gap, stand)]

    def how_far(stand: Stand) -> tuple[bool, float, str]:
        away_cm = min((distance_cm(stand.place, other.place) for other in used), default=0.0)
        return stand not in used, away_cm, stand.setup

    return min(fitting, key=how_far, default=None)


def _is_wanted(gap: Gap, stand: Stand) -> bool:
    return gap.words.get("depth") in (None, stand.depth) and gap.words.get("side") in (None, stand.side)


def _drill(gap: Gap, stand: Stand, settings: Settings) -> Drill:
    tempo_bpm = assumed_bpm(gap.words.get("tempo_band"), settings)
    return Drill(gap, stand, max(gap.need_balls, settings.planned_balls), tempo_bpm)


def _why_not(drills: Sequence[Drill], minutes: float, settings: Settings) -> WhyLeftOut | None:
    if not drills:
        return "no_setup"
    if len(_used(drills)) > MOST_SETUPS:
        return "too_many_moves"
    return "no_time" if _minutes(drills, settings) > minutes else None


def _used(drills: Iterable[Drill]) -> list[Stand]:
    """The places of the feeder, each once, in the order in which they come up."""
    return list(dict.fromkeys(drill.stand for drill in drills))


def _minutes(drills: Sequence[Drill], settings: Settings) -> float:
    moves = max(len(_used(drills)) - 1, 0)
    return sum(block.minutes for block in _blocks(drills, settings)) + moves * settings.feeder_move_minutes


def _blocks(drills: Iterable[Drill], settings: Settings) -> Iterator[PlannedBlock]:
    """Each drill in a block of its own, but those of balls that are covered already: mixed, if place and tempo agree.

    A ball that is new, or not met lately, is fed many times first: a habit of coaching (common practice, no source).
    """
    together: dict[tuple[Stand, float, int | None], list[Drill]] = {}
    for drill in drills:
        alone = None if drill.gap.why == "weak" else drill.gap.rank
        together.setdefault((drill.stand, drill.tempo_bpm, alone), []).append(drill)
    for alike in together.values():
        for first in range(0, len(alike), MOST_MIXED):
            yield _block(alike[first : first + MOST_MIXED], settings)


def _block(drills: Sequence[Drill], settings: Settings) -> PlannedBlock:
    feeding_minutes = sum(drill.balls / drill.tempo_bpm for drill in drills)
    return PlannedBlock(tuple(drills), feeding_minutes + settings.block_pause_minutes)
