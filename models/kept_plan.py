"""A plan of a player's next session that waits for its day, block by block, and which of it is done."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from models.planned import Feed, PlannedBlock
from models.settings import Settings
from models.words import COVERAGE_DIMENSIONS
from models.worth import Words, band_of

_ANY_BALL: dict[str, str | None] = {words.name: None for words in COVERAGE_DIMENSIONS}


@dataclass(frozen=True)
class KeptKind:
    """One kind of ball in a kept block: as a feed of the ball log, the wanted combination, how many, and why."""

    feed: Feed
    wanted: dict[str, str | None]
    balls: int
    why: str


@dataclass(frozen=True)
class KeptBlock:
    """A block of a kept plan, and how many of its balls were fed at the table since the plan was made."""

    order: str
    minutes: float
    kinds: tuple[KeptKind, ...]
    fed: int
    calls: tuple[int, ...] = ()
    """In the mix that closes a session: which of the kinds each ball is."""

    @property
    def is_done(self) -> bool:
        """All its balls were fed."""
        return self.fed >= self.balls

    @property
    def balls(self) -> int:
        """All balls of the block."""
        return sum(kind.balls for kind in self.kinds)


@dataclass(frozen=True)
class KeptPlan:
    """A plan that waits for its day; the maker is None where it came from the command line, or has left."""

    meant_for: date
    maker: str | None
    minutes: float
    balls: int
    blocks: tuple[KeptBlock, ...]

    @property
    def done(self) -> int:
        """How many of its blocks are done."""
        return sum(block.is_done for block in self.blocks)

    @property
    def balls_done(self) -> int:
        """How many of its balls were fed; more of a block than planned count for no other."""
        return sum(min(block.fed, block.balls) for block in self.blocks)


def described(block: PlannedBlock) -> dict[str, Any]:
    """A block as it is kept, and told to scripts: plain values that JSON has."""
    kinds = [
        {
            "feed": drill.feed,
            "wanted": {dimension: word for dimension, word in drill.gap.words.items() if word is not None},
            "balls": drill.balls,
            "why": drill.gap.why,
        }
        for drill in block.drills
    ]
    calls = {"calls": list(block.calls)} if block.calls else {}
    return {"order": block.order, "minutes": round(block.minutes, 2), "kinds": kinds} | calls


@dataclass(frozen=True)
class Fed:
    """A block that was begun at the table since the plan was made: its kinds of ball, and the balls that count."""

    feeds: Sequence[Feed]
    balls: int


@dataclass(frozen=True)
class LoggedBlock:
    """A block in the log, by its session (day and label) and number, with what was fed."""

    session_id: str
    block: int
    fed: Fed


def kept_blocks(stored: Sequence[Mapping[str, Any]], fed: Sequence[Fed]) -> tuple[KeptBlock, ...]:
    """The blocks of a plan, each as it was `described`, with the balls fed of it since.

    What was fed counts for one block: the one of just these balls, else the first of them at another tempo that is not
    done yet.
    """
    blocks = [_kept_block(one) for one in stored]
    for one in fed:
        at = _block_of(one, blocks)
        if at is not None:
            blocks[at] = replace(blocks[at], fed=blocks[at].fed + one.balls)
    return tuple(blocks)


def _kept_block(stored: Mapping[str, Any]) -> KeptBlock:
    kinds = tuple(
        KeptKind(kind["feed"], _ANY_BALL | kind["wanted"], kind["balls"], kind["why"]) for kind in stored["kinds"]
    )
    return KeptBlock(stored["order"], stored["minutes"], kinds, fed=0, calls=tuple(stored.get("calls", ())))


def _block_of(fed: Fed, blocks: Sequence[KeptBlock]) -> int | None:
    """The place of the block that it counts for; of those that fit equally well, the first that is not done yet."""
    fitting = [
        (not _are_these(block, fed.feeds), block.is_done, at)
        for at, block in enumerate(blocks)
        if _are_these(block, fed.feeds, but=("tempo_bpm",))
    ]
    return min(fitting)[2] if fitting else None


def _are_these(block: KeptBlock, fed: Sequence[Feed], but: tuple[str, ...] = ()) -> bool:
    """The same kinds of ball, whatever was added to their words at the table."""
    balls = [{column: word for column, word in kind.feed.items() if column not in but} for kind in block.kinds]
    return len(fed) == len(balls) and all(any(ball.items() <= feed.items() for feed in fed) for ball in balls)


def words_of(kind: KeptKind, settings: Settings) -> Words:
    """All that is said of a kept ball, by dimension: what was wanted of it, and the words of its feed."""
    fed = {name: str(kind.feed[name]) for name in kind.wanted if name in kind.feed}
    if kind.wanted.get("spin") is None and kind.wanted.get("spin_family"):
        fed.pop("spin", None)  # The plain word that stands for its family.
    tempo_bpm = kind.feed.get("tempo_bpm")
    tempo = {"tempo_band": band_of(float(tempo_bpm), settings)} if tempo_bpm else {}
    return {**kind.wanted, **fed, **tempo}
