"""A plan of a player's next session that waits for its day, block by block, and which of it is done."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from models.planning import Feed, PlannedBlock
from models.words import COVERAGE_DIMENSIONS

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
    """A block of a kept plan. Done: a block of these balls was begun at the table since the plan was made."""

    order: str
    minutes: float
    kinds: tuple[KeptKind, ...]
    is_done: bool

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
    return {"order": block.order, "minutes": round(block.minutes, 2), "kinds": kinds}


def kept_block(told: Mapping[str, Any], begun: Sequence[Sequence[Feed]]) -> KeptBlock:
    """A block that was `described`, beside the feeds of each block that was begun at the table since."""
    kinds = tuple(
        KeptKind(kind["feed"], _ANY_BALL | kind["wanted"], kind["balls"], kind["why"]) for kind in told["kinds"]
    )
    is_done = any(_are_these([kind.feed for kind in kinds], feeds) for feeds in begun)
    return KeptBlock(told["order"], told["minutes"], kinds, is_done)


def _are_these(planned: Sequence[Feed], fed: Sequence[Feed]) -> bool:
    """The same kinds of ball, whatever was added to their words at the table, and however fast they came."""
    balls = [{column: word for column, word in feed.items() if column != "tempo_bpm"} for feed in planned]
    return len(fed) == len(balls) and all(any(ball.items() <= feed.items() for feed in fed) for ball in balls)
