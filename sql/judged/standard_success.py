"""Success on the same mix of balls: the rate a player would have if the balls came in the shares of the target.
Without it, who trained the easier balls looks the better player. Balls are those of the window that ends with the
week's Sunday. Direct standardisation (Fleiss, Levin & Paik 2003, Statistical Methods for Rates and Proportions, ch.
19) over the combinations met; range by Wilson on effective balls. Compare two players by this rate, not by the plain
one.
grain: club_id, week, player_id
columns:
    club_id: short name of the club
    week: Monday of the ISO week
    player_id: the club's code for the player
    balls: balls in the window that a wanted combination describes
    effective_balls: single balls that would give the rate as surely (balls)
    target_share_seen: how much of the wanted mix the rate speaks for (share of 1)
    rate: success on the wanted mix (share of 1; empty: fewer balls than the setting rate_balls)
    low: lower end of its 95 % range (share of 1; empty: too few balls)
    high: upper end of its 95 % range (share of 1; empty: too few balls)
checks:
    stop: target_share_seen > 0 and target_share_seen <= 1 + 1e-9
    stop: rate is null or (low <= rate + 1e-9 and rate <= high + 1e-9)
    warn: (rate is null) = (low is null) and (rate is null) = (high is null)
"""

import numpy as np
import polars as pl

from models.standardise import SharedLuck, StandardRates, standard_rates
from sql.judging import Evidence, null_if_nan, numbered

VERSION = 2
KEYS = ("club_id", "week", "player_id")


def judge(evidence: Evidence) -> pl.DataFrame:
    """A standardised rate for every window with balls in the player's grid."""
    rows = in_windows(evidence)
    found = rates_on_wanted_mix(evidence, rows)
    totals = rows.group_by(KEYS).agg(pl.col("balls").sum()).sort(KEYS)
    enough = totals["balls"].to_numpy() >= evidence.settings.rate_balls
    return totals.with_columns(
        effective_balls=found.effective_balls,
        target_share_seen=found.target_share_seen,
        rate=null_if_nan(np.where(enough, found.rate, np.nan)),
        low=null_if_nan(np.where(enough, found.low, np.nan)),
        high=null_if_nan(np.where(enough, found.high, np.nan)),
    )


def rates_on_wanted_mix(evidence: Evidence, rows: pl.DataFrame) -> StandardRates:
    """Standardised rates of rows that are a combination in a block, in the order of their week and player."""
    return standard_rates(
        numbered(rows, *KEYS),
        numbered(rows, "cell"),
        rows["good"],
        rows["balls"],
        rows["wanted_share"],
        SharedLuck(
            numbered(rows, "session_id", "block"),
            numbered(rows, "session_id"),
            evidence.likeness.rho,
            evidence.likeness.rho_session,
        ),
    )


def in_windows(evidence: Evidence) -> pl.DataFrame:
    """What each window holds of the wanted combinations, block by block; `week` is the window's last week."""
    weeks = evidence.rows("core.player_weeks").select("player_id", "week")
    moved = evidence.in_windows(evidence.rows("core.block_cells"))
    return moved.join(weeks, on=["player_id", "week"], how="semi")
