"""Which mistakes go with which spin: one row per player, week, spin and kind of mistake, over the window.
Only lines that name every mistake count; a line that says no more than good and balls is left out. The ranges of one
spin hold together with 95 % (Goodman 1965, Technometrics 7:247), on effective balls. A mistake stands out where it is
clearly more frequent on this spin than on the player's other spins, all comparisons of the player taken together.
grain: club_id, week, player_id, spin, outcome
columns:
    club_id: short name of the club
    week: Monday of the ISO week
    player_id: the club's code for the player
    spin: the spin of the fed ball
    outcome: net, long, wide, missed
    balls: balls with that mistake in the window
    noted_balls: all balls of that spin on lines that name their mistakes
    share: balls of noted_balls (share of 1)
    low: lower end of its range (share of 1)
    high: upper end of its range (share of 1)
    stands_out: clearly more frequent than on the player's other spins
checks:
    stop: share >= 0 and share <= 1
    stop: low <= share + 1e-9 and share <= high + 1e-9
"""

import numpy as np
import polars as pl

from models.mistakes import outcome_shares, standing_out
from sql.judging import Evidence, numbered

VERSION = 2
OUTCOMES = ("net", "long", "wide", "missed", "good")
MISTAKES = OUTCOMES[:-1]
KEYS = ("club_id", "week", "player_id", "spin")


def judge(evidence: Evidence) -> pl.DataFrame:
    """Every mistake on every spin of every window."""
    rows = evidence.rows("core.mistake_windows")
    counts = rows.select(OUTCOMES).to_numpy().astype(np.float64).reshape(-1, len(OUTCOMES))
    worth = evidence.effective_balls(rows)
    shares, out = outcome_shares(counts, worth), standing_out(numbered(rows, "week", "player_id"), counts, worth)
    return pl.concat(
        rows.select(
            *KEYS,
            pl.lit(outcome).alias("outcome"),
            pl.col(outcome).alias("balls"),
            pl.col("balls").alias("noted_balls"),
            pl.Series("share", shares.share[:, place]),
            pl.Series("low", shares.low[:, place]),
            pl.Series("high", shares.high[:, place]),
            pl.Series("stands_out", out[:, place]),
        )
        for place, outcome in enumerate(MISTAKES)
    )
