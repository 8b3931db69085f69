"""A plan as a pattern of the club: its blocks without the player, laid out anew for another one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from models.kept_plan import KeptBlock, KeptKind, words_of
from models.plan_edits import of_blocks
from models.planned import Drill, Follows, Gap, LeftOut, Plan, PlannedBlock, Stand
from models.settings import Settings
from models.words import DIMENSION
from models.worth import assumed_bpm, cell_of

OF_PATTERN = "pattern"
"""Why a ball is in a plan that is none of the player's gaps."""


@dataclass(frozen=True)
class Pattern:
    """A plan that the club keeps: its number, what the coaches call it, and its blocks."""

    number: int
    name: str
    blocks: tuple[KeptBlock, ...]


@dataclass(frozen=True)
class LaidOut:
    """A pattern as a player's plan, and the setups that it needs and the club no longer has."""

    plan: Plan
    missing_setups: tuple[str, ...]


def laid_out(
    blocks: Iterable[KeptBlock], gaps: Sequence[Gap], stands: Mapping[str, Stand], settings: Settings
) -> LaidOut:
    """The blocks of a pattern for a player, who meets its setups as `stands` say: a left-hander from the other side.

    A ball that the player lacks counts as that gap; all other gaps are left out. A block whose setup is gone is not in
    the plan.
    """
    every = list(blocks)
    setups = [str(block.kinds[0].feed.get("setup", "")) for block in every]
    there = [
        _block(block, gaps, stands[setup], settings)
        for block, setup in zip(every, setups, strict=True)
        if setup in stands
    ]
    plan = of_blocks(there, [LeftOut(gap, "taken_out") for gap in gaps], settings)
    return LaidOut(plan, tuple(dict.fromkeys(setup for setup in setups if setup not in stands)))


def _block(block: KeptBlock, gaps: Sequence[Gap], stand: Stand, settings: Settings) -> PlannedBlock:
    follow: Follows = "serial" if block.order == "serial" else "random"
    drills = tuple(_drill(kind, gaps, stand, settings) for kind in block.kinds)
    return PlannedBlock(drills, block.minutes, follow, block.calls)


def _drill(kind: KeptKind, gaps: Sequence[Gap], stand: Stand, settings: Settings) -> Drill:
    place = {name: word for name, word in (("depth", stand.depth), ("side", stand.side)) if kind.wanted.get(name)}
    words = {**words_of(kind, settings), **place}
    named = {dimension for gap in gaps for dimension, word in gap.words.items() if word is not None} or {
        dimension for dimension, word in kind.wanted.items() if word is not None
    }
    own = {dimension: words.get(dimension) for dimension in DIMENSION.names if dimension in named}
    more = {dimension: word for dimension, word in words.items() if dimension not in named and word is not None}
    gap = next((gap for gap in gaps if gap.cell == cell_of(own)), Gap(0, own, 0, OF_PATTERN))
    stroke = kind.feed.get("stroke")
    tempo_bpm = float(kind.feed.get("tempo_bpm") or assumed_bpm(words.get("tempo_band"), settings))
    return Drill(gap, stand, kind.balls, tempo_bpm, str(stroke) if stroke else None, more)
