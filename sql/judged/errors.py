"""Which mistakes go with which spin: one row per player, week, spin and kind of mistake, over the window.
Only lines that name every mistake count; a line that says no more than good and balls is left out. The ranges of one
spin hold together with 95 % (Goodman 1965, Technometrics 7:247), on effective balls. A mistake stands out where, over
all judged weeks together, it is clearly more frequent on this spin than on the player's other spins, all comparisons of
the player taken together (Newcombe 1998, Statistics in Medicine 17:873, method 10, with Bonferroni's correction); it is
not judged anew each week, for then chance would make some mistake stand out in one of them.
grain: club_id, week, player_id, spin, outcome
columns:
    club_id: short name of the club
    week: Monday of the ISO week
    player_id: the club's code for the player
    spin: the spin of the fed ball
    outcome: net, long, wide, missed
    balls: balls with that mistake in the window
    noted_balls: all balls of that spin on lines that name their mistakes
    outcome_balls: balls of every spin with that mistake
    all_noted_balls: all balls of every spin on lines that name their mistakes
    share: balls of noted_balls (share of 1)
    low: lower end of its range (share of 1)
    high: upper end of its range (share of 1)
    stands_out: clearly more frequent than on the player's other spins, over the judged weeks
checks:
    stop: share >= 0 and share <= 1
    stop: low <= share + 1e-9 and share <= high + 1e-9
"""

import numpy as np
import numpy.typing as npt
import polars as pl

from models.groups import FloatArray
from models.mistakes import outcome_shares, standing_out
from sql.judging import Evidence, numbered

VERSION = 4
OUTCOMES = ("net", "long", "wide", "missed", "good")
MISTAKES = OUTCOMES[:-1]
KEYS = ("club_id", "week", "player_id", "spin")


def judge(evidence: Evidence) -> pl.DataFrame:
    """Every mistake on every spin of every window."""
    rows = evidence.rows("core.mistake_windows")
    shares = outcome_shares(_counts(rows), evidence.effective_balls(rows))
    out = _standing_out(evidence, rows)
    of_window = ("week", "player_id", "outcome")
    errors = pl.concat(
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
    return errors.with_columns(
        pl.col("balls").sum().over(of_window).alias("outcome_balls"),
        pl.col("noted_balls").sum().over(of_window).alias("all_noted_balls"),
    )


def _standing_out(evidence: Evidence, windows: pl.DataFrame) -> npt.NDArray[np.bool_]:
    """Of each window and mistake, whether it stands out over the judged weeks; in an older window none does."""
    sums = (*OUTCOMES, "balls", "squared_block_balls", "squared_session_balls")
    judged = evidence.judged_rows("core.mistake_sessions").group_by("player_id", "spin").agg(pl.col(sums).sum())
    judged = judged.sort("player_id", "spin")
    out = standing_out(numbered(judged, "player_id"), _counts(judged), evidence.effective_balls(judged))
    found = judged.select("player_id", "spin").hstack(pl.DataFrame(out[:, :-1], schema=[f"{m}_out" for m in MISTAKES]))
    is_judged = pl.col("week") > evidence.judged_after
    flagged = windows.join(found, on=["player_id", "spin"], how="left", maintain_order="left")
    return flagged.select((pl.col(f"{m}_out").fill_null(value=False) & is_judged) for m in MISTAKES).to_numpy()


def _counts(rows: pl.DataFrame) -> FloatArray:
    return rows.select(OUTCOMES).to_numpy().astype(np.float64).reshape(-1, len(OUTCOMES))
