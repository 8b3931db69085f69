"""How much a player trained, and how that compares with the weeks before. Description only: it predicts no injury.

There are no zones and no "ideal" ratio here, because the evidence for them did not hold (Impellizzeri et al. 2020,
J. Athl. Train. 55:893; 2021, Sports Med. 51:581).
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from models.groups import FloatArray

COMPARED_WEEKS = 4


def effort_load(effort: npt.ArrayLike, minutes: npt.ArrayLike) -> FloatArray:
    """Load of a session: rated effort (0 to 10) times minutes, in arbitrary units; nan where either is not logged.

    Source: Foster et al. (2001), J. Strength Cond. Res. 15:109.
    """
    return np.asarray(np.asarray(effort, dtype=np.float64) * np.asarray(minutes, dtype=np.float64))


def week_change(
    player: npt.ArrayLike, week: npt.ArrayLike, load: npt.ArrayLike, look_back_weeks: int = 8
) -> FloatArray:
    """This week's load against the mean of the last four logged weeks: 0.25 is a quarter more, -0.5 is half.

    One row per player and logged week, in any order; `week` counts weeks without a gap (whole numbers); `load` is any
    weekly sum. A week without a row, or whose load is nan, is missing: it is passed over, never taken for rest. nan
    where the last four logged weeks do not lie within `look_back_weeks` (setting) or hold no load.
    """
    amount, weeks, players = np.asarray(load, dtype=np.float64), np.asarray(week), np.asarray(player)
    change = np.full(len(amount), np.nan)
    order = np.lexsort((weeks, players))
    order = order[~np.isnan(amount[order])]
    now, earlier = order[COMPARED_WEEKS:], np.arange(max(len(order) - COMPARED_WEEKS, 0))
    fourth_back = order[earlier]
    running = np.concatenate(([0.0], np.cumsum(amount[order])))
    before = (running[earlier + COMPARED_WEEKS] - running[earlier]) / COMPARED_WEEKS
    is_comparable = (players[now] == players[fourth_back]) & (weeks[now] - weeks[fourth_back] <= look_back_weeks)
    is_comparable &= before > 0
    change[now[is_comparable]] = amount[now[is_comparable]] / before[is_comparable] - 1
    return change


def youth_guidance_h(age_years: npt.ArrayLike) -> FloatArray:
    """Organised hours a week that guidance for young players advises not to pass: their age in years, 16 at most.

    Guidance for the coach, not an alarm; the club's doctor and the association's rules come first.
    Sources, both second-hand: Jayanthi et al. (2015), Am. J. Sports Med. 43:794 (hours above age); Brenner (2016),
    Pediatrics 138:e20162148, American Academy of Pediatrics (16 hours).
    """
    return np.minimum(np.asarray(age_years, dtype=np.float64), 16.0)
