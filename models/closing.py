"""The mix that closes a session: balls of this session and balls met before, in an order that nobody knows.

How much of it a session should end with is a setting without a published basis. The order is drawn once, with a seed,
so that paper, phone and feeder have the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import floor
from typing import NamedTuple

import numpy as np

from models.planned import Drill, Gap, Plan, PlannedBlock, Stand
from models.planning import MOST_MIXED, drill_of
from models.settings import Settings
from models.worth import Wanted, assumed_bpm

MET_BEFORE = "met_before"
"""Why a ball is in the closing mix that is none of the session's."""

_ROOM = 1e-9


class _Mix(NamedTuple):
    drills: tuple[Drill, ...]
    of_session: int


def closing_block(plan: Plan, wanted: Iterable[Wanted], settings: Settings, seed: int) -> PlannedBlock | None:
    """The closing mix of a plan, from where the feeder stands at its end; None where fewer than two kinds go together.

    Up to `MOST_MIXED` kinds of one tempo: half of the session's, the latest first, and half met before, the longest ago
    first; what one half lacks the other gives. `wanted`: how the player stands to all that is wanted. It has as many
    series of `planned_balls`, each with its pause, as go into `closing_minutes`, and of each kind as many balls as of
    any other, but for one.
    """
    blocks = [block for block in plan.blocks if not block.closes]
    if not blocks or not settings.closing_minutes:
        return None
    met = [one for one in wanted if one.days_since is not None]
    tempos = dict.fromkeys(drill.tempo_bpm for block in reversed(blocks) for drill in reversed(block.drills))
    mixes = [_mix(blocks, met, blocks[-1].stand, tempo_bpm, settings) for tempo_bpm in tempos]
    best = max(mixes, key=lambda mix: (len(mix.drills), mix.of_session))
    return drawn(best.drills, settings, seed) if len(best.drills) > 1 else None


def drawn(drills: Sequence[Drill], settings: Settings, seed: int) -> PlannedBlock:
    """Kinds of ball as a closing mix, its order drawn with this seed."""
    tempo_bpm = drills[0].tempo_bpm
    series_minutes = settings.planned_balls / tempo_bpm + settings.block_pause_minutes
    series = max(floor(settings.closing_minutes / series_minutes + _ROOM), 1)
    kinds = np.arange(series * settings.planned_balls) % len(drills)
    np.random.default_rng(seed).shuffle(kinds)
    shares = np.bincount(kinds, minlength=len(drills))
    each = tuple(replace(drill, balls=int(share)) for drill, share in zip(drills, shares, strict=True))
    return PlannedBlock(each, series * series_minutes, "random", tuple(map(int, kinds)))


def _mix(
    blocks: Sequence[PlannedBlock], met: Sequence[Wanted], stand: Stand, tempo_bpm: float, settings: Settings
) -> _Mix:
    """What goes together from a place at a tempo."""
    latest = [drill for block in reversed(blocks) for drill in block.drills]
    fitting = {one.gap.cell: one for one in latest if one.stand == stand and one.tempo_bpm == tempo_bpm}
    own = list(fitting.values())
    earlier = sorted(
        (one for one in met if one.cell not in fitting and _goes(one, stand, tempo_bpm, settings)),
        key=lambda one: (-(one.days_since or 0), one.cell),
    )
    of_session = min(len(own), max(MOST_MIXED // 2, MOST_MIXED - len(earlier)))
    before = [drill_of(_met(one), stand, settings) for one in earlier[: MOST_MIXED - of_session]]
    return _Mix((*own[:of_session], *before), of_session)


def _goes(one: Wanted, stand: Stand, tempo_bpm: float, settings: Settings) -> bool:
    return _met(one).is_fed_from(stand) and assumed_bpm(one.words.get("tempo_band"), settings) == tempo_bpm


def _met(one: Wanted) -> Gap:
    return Gap(0, one.words, 0, MET_BEFORE)
