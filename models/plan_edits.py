"""What a coach changes in a plan: each edit gives another plan, whose minutes, moves and left-out gaps are true again.

Blocks are told by their place in the plan, from 0. The mix that closes a session stays at its end.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace
from itertools import groupby
from math import ceil

from models.planned import Drill, Follows, Gap, LeftOut, Plan, PlannedBlock, Stand
from models.planning import block_of, drill_of, stand_for
from models.settings import Settings
from models.worth import Cell, Words, assumed_bpm, cell_of

MOST_BALLS = 500
"""Setting: balls of one kind in a block; more are hardly fed in one session."""

COACHS_CHOICE = "chosen"
"""Why a ball is in a plan that is none of the gaps."""


def moved(plan: Plan, at: int, steps: int, settings: Settings) -> Plan:
    """A block so many places further down (negative: up), as far as there are; never past the closing mix."""
    blocks, end = list(plan.blocks), _end(plan)
    if at >= end:
        return plan
    block = blocks.pop(at)
    blocks.insert(min(max(at + steps, 0), end - 1), block)
    return _again(plan, blocks, settings)


def dropped(plan: Plan, at: int, settings: Settings) -> Plan:
    """Without a block; its gaps are left out, as taken out."""
    return _again(plan, [*plan.blocks[:at], *plan.blocks[at + 1 :]], settings)


def added(plan: Plan, gap: Gap, stands: Iterable[Stand], settings: Settings) -> Plan:
    """With a block for a gap: where the feeder stands so already, after the blocks there; else at the end.

    The same plan where no setup stands so.
    """
    stand = stand_for(gap, stands, [block.stand for block in plan.blocks])
    if stand is None:
        return plan
    there = [at for at, block in enumerate(plan.blocks[: _end(plan)]) if block.stand == stand]
    at = there[-1] + 1 if there else _end(plan)
    block = block_of([drill_of(gap, stand, settings)], settings)
    return _again(plan, [*plan.blocks[:at], block, *plan.blocks[at:]], settings)


def swapped(plan: Plan, at: int, gap: Gap, stands: Iterable[Stand], settings: Settings) -> Plan:
    """Another gap in the place of a block, from a setup that is in the plan if one stands so; else the same plan."""
    stand = stand_for(gap, stands, [block.stand for block in plan.blocks])
    if stand is None:
        return plan
    return with_drills(plan, at, [drill_of(gap, stand, settings)], settings)


def with_drills(
    plan: Plan, at: int, drills: Sequence[Drill], settings: Settings, follow: Follows | None = None
) -> Plan:
    """Other drills in a block, all from where its first is fed and as fast; none drops it.

    A closing mix is drawn anew (`with_closing`), not changed.
    """
    before = plan.blocks[at]
    if before.closes:
        return plan
    if not drills:
        return dropped(plan, at, settings)
    here = tuple(replace(drill, stand=drills[0].stand, tempo_bpm=drills[0].tempo_bpm) for drill in drills)
    block = replace(before, drills=here, follow=follow or before.follow)
    return _again(plan, [*plan.blocks[:at], block, *plan.blocks[at + 1 :]], settings)


def reworded(plan: Plan, at: int, kind: int, words: Words, settings: Settings) -> Plan:
    """Another ball for a drill of a block, from the same place: the gap of these words, or one of the coach's choice.

    What the player's gaps leave open is said beside them. One feeder has one tempo: that of the ball becomes that of
    the block.
    """
    named, tempo_bpm = _named(plan), assumed_bpm(words.get("tempo_band"), settings)
    drills = [
        replace(_worded(drill, {**drill.words, "tempo_band": words.get("tempo_band")}, named), tempo_bpm=tempo_bpm)
        for drill in plan.blocks[at].drills
    ]
    drills[kind] = _worded(drills[kind], words, named)
    return with_drills(plan, at, drills, settings)


def from_place(plan: Plan, at: int, stand: Stand, settings: Settings) -> Plan:
    """A block fed from another place: its balls are others then, where the player's gaps name depth or side."""
    named = _named(plan)
    seen = {"depth": stand.depth, "side": stand.side}
    drills = [
        replace(_worded(drill, {**drill.words, **{d: seen[d] for d in seen if d in named}}, named), stand=stand)
        for drill in plan.blocks[at].drills
    ]
    return with_drills(plan, at, drills, settings)


def combined(plan: Plan, at: int, gap: Gap, settings: Settings) -> Plan:
    """A block with one more kind of ball; the kinds of a new combination follow each other in their order."""
    block = plan.blocks[at]
    first = block.drills[0]
    follow: Follows = "serial" if len(block.drills) == 1 else block.follow
    more = replace(drill_of(gap, first.stand, settings), balls=first.balls)
    words = {**more.words, "tempo_band": first.words.get("tempo_band")}
    seen = {"depth": first.stand.depth, "side": first.stand.side}
    words |= {dimension: word for dimension, word in seen.items() if words.get(dimension)}
    return with_drills(plan, at, [*block.drills, _worded(more, words, _named(plan))], settings, follow)


def isolated_first(plan: Plan, settings: Settings) -> Plan:
    """At each place of the feeder the blocks of one kind before the combined ones; else in the order that they have."""
    body = plan.blocks[: _end(plan)]
    blocks = [
        block
        for _, there in groupby(body, key=lambda block: block.stand)
        for block in sorted(there, key=lambda block: len(block.drills) > 1)
    ]
    return _again(plan, [*blocks, *plan.blocks[_end(plan) :]], settings)


def with_closing(plan: Plan, block: PlannedBlock | None, settings: Settings) -> Plan:
    """The plan with another closing mix; None takes it out."""
    return _again(plan, [*plan.blocks[: _end(plan)], *([block] if block else [])], settings)


def not_today(plan: Plan, cell: Cell, settings: Settings) -> Plan:
    """A gap that is left out told as not for today."""
    left_out = [LeftOut(one.gap, "not_today") if one.gap.cell == cell else one for one in plan.left_out]
    return of_blocks(plan.blocks, left_out, settings)


def of_blocks(blocks: Iterable[PlannedBlock], left_out: Iterable[LeftOut], settings: Settings) -> Plan:
    """A plan of blocks in this order: with its minutes, and of what was left out only what is not in it."""
    timed = tuple(replace(block, minutes=_minutes(block, settings)) for block in blocks)
    fed = {drill.gap.cell for block in timed for drill in block.drills}
    rest = {one.gap.cell: one for one in left_out if one.gap.cell not in fed}
    made = Plan(timed, 0.0, tuple(sorted(rest.values(), key=lambda one: one.gap.rank)))
    moves_minutes = len(made.moves) * settings.feeder_move_minutes
    return replace(made, minutes=sum(block.minutes for block in timed) + moves_minutes)


def gaps_of(plan: Plan) -> list[Gap]:
    """All that the player lacks, in the plan or left out, by rank."""
    every = [*(drill.gap for drill in plan.drills), *(one.gap for one in plan.left_out)]
    return sorted({gap.rank: gap for gap in every if gap.rank}.values(), key=lambda gap: gap.rank)


def _again(plan: Plan, blocks: Iterable[PlannedBlock], settings: Settings) -> Plan:
    """A plan of the same gaps: who chose the words of one feeds that one, and none is lost."""
    gaps = {gap.cell: gap for gap in gaps_of(plan)}
    told = [
        replace(block, drills=tuple(replace(drill, gap=gaps.get(drill.gap.cell, drill.gap)) for drill in block.drills))
        for block in blocks
    ]
    taken_out = [LeftOut(drill.gap, "taken_out") for drill in plan.drills if drill.gap.rank]
    return of_blocks(told, [*taken_out, *plan.left_out], settings)


def _minutes(block: PlannedBlock, settings: Settings) -> float:
    """Of its balls and a pause; in the closing mix a pause for every series of `planned_balls`."""
    feeding = sum(drill.balls / drill.tempo_bpm for drill in block.drills)
    series = ceil(block.balls / settings.planned_balls) if block.closes else 1
    return feeding + series * settings.block_pause_minutes


def _end(plan: Plan) -> int:
    """Where the closing mix begins."""
    return next((at for at, block in enumerate(plan.blocks) if block.closes), len(plan.blocks))


def _named(plan: Plan) -> set[str]:
    """The dimensions that the player's target names."""
    gaps = gaps_of(plan) or [drill.gap for drill in plan.drills]
    return {dimension for gap in gaps for dimension, word in gap.words.items() if word is not None}


def _worded(drill: Drill, words: Words, named: Collection[str]) -> Drill:
    """A drill of other words; those that the target names tell which ball it is, the others stand beside it."""
    own = {dimension: word for dimension, word in words.items() if dimension in named}
    more = {dimension: word for dimension, word in words.items() if dimension not in named and word is not None}
    same = cell_of(own) == drill.gap.cell
    return replace(drill, gap=drill.gap if same else Gap(0, own, 0, COACHS_CHOICE), more=more)
