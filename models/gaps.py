"""What a player lacks, in the order in which it should be fed: most worth for each minute first."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from heapq import heapify, heappop, heappush
from typing import Literal

from models.settings import Settings
from models.worth import Cell, Shortfall, Wanted, block_balls, block_minutes

Why = Literal["never_met", "not_lately", "weak", "too_few"]
Order = tuple[float, int, Cell]


@dataclass(frozen=True)
class Lack:
    """A wanted combination that a player lacks: why, and how many balls are missing for it to be covered."""

    wanted: Wanted
    why: Why
    need_balls: int


def lacks(wanted: Iterable[Wanted], settings: Settings) -> list[Lack]:
    """All that a player lacks on a day, what to feed first at the head.

    First comes what brings most for each minute of a block with its pause (see `models.worth`); then, as if that were
    fed, what brings most, and so on: two balls that bring the same values together do not both come early. Of equals
    the one comes first whose values met least.
    """
    everything = list(wanted)
    lacking = {one.cell: lack for one in everything if (lack := _lack(one, settings)) is not None}
    shortfall = Shortfall.on_a_day(everything, settings)
    waiting = [_order(lack, shortfall, settings) for lack in lacking.values()]
    heapify(waiting)
    ranked: list[Lack] = []
    # Feeding one ball never makes another worth more, so whoever still leads when looked at again leads in truth.
    while waiting:
        cell = heappop(waiting)[-1]
        now = _order(lacking[cell], shortfall, settings)
        if waiting and now > waiting[0]:
            heappush(waiting, now)
            continue
        ranked.append(lacking[cell])
        shortfall = shortfall.after(cell, block_balls(lacking[cell].need_balls, settings))
    return ranked


def _lack(one: Wanted, settings: Settings) -> Lack | None:
    need_balls = max(settings.covered_balls - one.balls, 0)
    if one.share <= 0:
        return None
    if need_balls == 0:
        return Lack(one, "weak", 0) if one.is_weak else None
    met: Why = "too_few" if one.balls > 0 else "not_lately"
    return Lack(one, "never_met" if one.days_since is None else met, need_balls)


def _order(lack: Lack, shortfall: Shortfall, settings: Settings) -> Order:
    cell, balls = lack.wanted.cell, block_balls(lack.need_balls, settings)
    minutes = block_minutes(balls, lack.wanted.words.get("tempo_band"), settings)
    # Sums of doubles depend on their order; what differs by less is equal.
    return -round(shortfall.worth(cell, balls) / minutes, 12), shortfall.met_together(cell), cell
