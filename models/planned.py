"""A plan of a player's next session, as it is kept and told: its blocks, their drills, and what is left out."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from itertools import pairwise
from typing import Literal

from models.records import LOGGED_DIMENSIONS
from models.stance import Place
from models.worth import Cell, Words, cell_of

Order = Literal["blocked", "serial", "random"]
Follows = Literal["serial", "random"]
WhyLeftOut = Literal["no_setup", "too_many_moves", "no_time", "taken_out", "not_today"]
Feed = dict[str, str | float]

COLUMNS = tuple(name for name in LOGGED_DIMENSIONS if name != "spin")
"""What a combination of a target says of a feed in the very words of the log."""


@dataclass(frozen=True)
class Gap:
    """A wanted combination that a player lacks: its rank, its words by dimension (None: any), and why it is wanted.

    A ball that is none of the gaps, but the coach's choice or met before, has rank 0.
    """

    rank: int
    words: Mapping[str, str | None]
    need_balls: int
    why: str

    @cached_property
    def cell(self) -> Cell:
        """Which combination it is."""
        return cell_of(self.words)

    def is_fed_from(self, stand: "Stand") -> bool:
        """The feeder stands there as the combination wants it."""
        return self.words.get("depth") in (None, stand.depth) and self.words.get("side") in (None, stand.side)


@dataclass(frozen=True)
class Stand:
    """A setup as the player meets it: its code, where it stands to the player, and its place from above."""

    setup: str
    depth: str
    side: str
    place: Place


@dataclass(frozen=True)
class Drill:
    """A gap as it is to be fed: from where, how many balls, how fast (balls/min, assumed where the target is open).

    `more`: what is said of the ball that the target leaves open. `stroke`: with what it is to be answered; None leaves
    it to the player.
    """

    gap: Gap
    stand: Stand
    balls: int
    tempo_bpm: float
    stroke: str | None = None
    more: Words = field(default_factory=dict)

    @property
    def words(self) -> Words:
        """All that is said of the ball, by dimension."""
        return {**self.gap.words, **self.more}

    @property
    def feed(self) -> Feed:
        """The ball in the words of the ball log, with its tempo where the target asks for one."""
        tempo: Feed = {"tempo_bpm": self.tempo_bpm} if self.words.get("tempo_band") else {}
        stroke: Feed = {"stroke": self.stroke} if self.stroke else {}
        return feed_of(self.words, self.stand.setup) | tempo | stroke


@dataclass(frozen=True)
class PlannedBlock:
    """Drills that are fed together from one setup: one alone, or several that `follow` each other.

    `calls`: in the block that closes a session, which of the drills each ball is, as it was drawn.
    """

    drills: tuple[Drill, ...]
    minutes: float
    follow: Follows = "random"
    calls: tuple[int, ...] = ()

    @property
    def order(self) -> Order:
        """As the log calls it."""
        return "blocked" if len(self.drills) == 1 else self.follow

    @property
    def closes(self) -> bool:
        """Whether it is the mix at the end."""
        return bool(self.calls)

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
    """A gap that is not in the plan, and why.

    No setup stands so, the feeder would move too often, no time is left; or the coach took it out, or not for today.
    """

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

    def over(self, minutes: float) -> float | None:
        """How many minutes longer it is than a session; None where that is less than half a minute."""
        over = self.minutes - minutes
        return over if over > 0.5 else None

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
    values = {"setup": setup, "spin": words.get("spin") or words.get("spin_family")}
    values |= {column: words.get(column) for column in COLUMNS}
    return {column: word for column, word in values.items() if word is not None}
