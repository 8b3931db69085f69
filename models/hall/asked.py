"""What a hall plan is asked for: the children who are here, the tables, and the coach's limits."""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from models.gaps import lacks
from models.planned import Gap, Stand
from models.settings import Settings
from models.worth import Cell, Shortfall, Wanted

Feeding = Literal["robot", "multiball", "partner"]

AGAIN = "again"
"""Why a ball is fed that is covered already."""


@dataclass(frozen=True)
class Station:
    """A table: who or what feeds there, and the setups that its feeder can stand at, by code."""

    name: str
    feeding: Feeding
    setups: tuple[str, ...]


@dataclass(frozen=True)
class Child:
    """A player who is here: the setups as they meet them, how they stand to their target, and what is wanted.

    `wanted` has the gaps first, by rank, then what is covered already; it has nothing that is not to be fed today.
    """

    code: str
    shortfall: Shortfall
    wanted: tuple[Gap, ...]
    stands: Mapping[str, Stand]

    @classmethod
    def on_a_day(
        cls,
        code: str,
        wanted: Sequence[Wanted],
        stands: Mapping[str, Stand],
        settings: Settings,
        *,
        but: Container[Cell],
    ) -> Child:
        """A player with a target as it stands on a day, `but` what is not to be fed then."""
        lacking = [lack for lack in lacks(wanted, settings) if lack.wanted.cell not in but]
        gaps = [Gap(rank, one.wanted.words, one.need_balls, one.why) for rank, one in enumerate(lacking, 1)]
        cells = {gap.cell for gap in gaps}
        met = [one for one in wanted if one.share > 0 and one.cell not in cells and one.cell not in but]
        longest_ago = sorted(met, key=lambda one: (-(one.days_since or 0), one.balls, one.cell))
        again = [Gap(rank, one.words, 0, AGAIN) for rank, one in enumerate(longest_ago, len(gaps) + 1)]
        return cls(code, Shortfall.on_a_day(wanted, settings), (*gaps, *again), stands)


@dataclass(frozen=True)
class HallAsk:
    """A session in the hall; all minutes are of that session.

    `breaks` of `break_minutes` each are spread evenly. `must` names balls that have to be in, by child. A child waits
    from the end of one turn of its own to the next, breaks left out; `longest_wait_minutes` and `most_balls` (of one
    child) are settings without a published basis.
    """

    children: tuple[Child, ...]
    stations: tuple[Station, ...]
    minutes: float
    settings: Settings
    breaks: int = 0
    break_minutes: float = 5.0
    longest_wait_minutes: float = 30.0
    most_balls: int = 300
    must: frozenset[tuple[str, Cell]] = field(default_factory=frozenset)
