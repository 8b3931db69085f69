"""How often each player succeeds on each wanted combination, over the judged weeks: one row per combination met.
Rates of few balls are pulled towards the player's level (empirical Bayes, Gelman et al. 2013, Bayesian Data Analysis,
5.3), so that two unlucky balls do not make a weakness.
grain: club_id, player_id, cell
columns:
    club_id: short name of the club
    player_id: the club's code for the player
    cell: the combination in words
    judged_balls: balls fed in the judged weeks
    level: the player's success over all wanted combinations in these weeks (share of 1)
    shrunk_rate: success on it, pulled towards the player's level (share of 1; empty: no judged balls)
    shrunk_low: lower end of its 95 % range (share of 1)
    shrunk_high: upper end of its 95 % range (share of 1)
    is_weak: the upper end lies below the player's level
checks:
    stop: judged_balls > 0
    stop: shrunk_low <= shrunk_high
"""

import polars as pl

from models.shrinkage import shrink
from sql.judging import Evidence, numbered

VERSION = 1


def judge(evidence: Evidence) -> pl.DataFrame:
    """Each met combination of the judged weeks, pulled towards its player's level."""
    cells = _counts(evidence)
    worth = evidence.effective_balls(cells)
    found = shrink(numbered(cells, "player_id"), (cells["good"] / cells["balls"]).to_numpy() * worth, worth)
    level = pl.col("good").sum().over("player_id") / pl.col("balls").sum().over("player_id")
    pulled = cells.select(
        *("club_id", "player_id", "cell"),
        pl.col("balls").alias("judged_balls"),
        level.alias("level"),
        pl.Series("shrunk_rate", found.rate),
        pl.Series("shrunk_low", found.quantile(0.025)),
        pl.Series("shrunk_high", found.quantile(0.975)),
    )
    return pulled.with_columns(is_weak=pl.col("shrunk_high") < pl.col("level"))


def _counts(evidence: Evidence) -> pl.DataFrame:
    return (
        evidence.judged_rows("core.block_cells")
        .group_by("club_id", "player_id", "cell", "session_id")
        .agg(pl.col("balls").sum(), pl.col("good").sum(), squared_block_balls=(pl.col("balls") ** 2).sum())
        .with_columns(squared_session_balls=pl.col("balls") ** 2)
        .group_by("club_id", "player_id", "cell")
        .agg(pl.col("balls", "good", "squared_block_balls", "squared_session_balls").sum())
        .sort("player_id", "cell")
    )
