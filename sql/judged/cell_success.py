"""How often each player succeeds on each wanted combination, over the judged weeks: one row per combination met.
The shrunk rate pulls those of few balls towards the player's level (empirical Bayes, Gelman et al. 2013, Bayesian Data
Analysis, 5.3). Weak, by the rate itself: clearly less often good than such a ball is expected to be for this player,
who is taken to find it as hard as everybody else does, at one level over all of the judged weeks; the range of the
difference is Newcombe's (1998, Statistics in Medicine 17:873, method 10) on effective balls, and holds the doubt about
what is expected.
grain: club_id, player_id, cell
columns:
    club_id: short name of the club
    player_id: the club's code for the player
    cell: the combination in words
    judged_balls: balls fed in the judged weeks
    rate: of these, the share that landed where the drill asked (share of 1)
    expected_rate: what such balls give at the player's level to who finds them as hard as the others do (share of 1)
    shrunk_rate: success on it, pulled towards the player's level (share of 1; empty: no balls in the judged weeks)
    shrunk_low: lower end of its 95 % range (share of 1; empty: no balls in the judged weeks)
    shrunk_high: upper end of its 95 % range (share of 1; empty: no balls in the judged weeks)
    is_weak: the whole 95 % range of rate less expected_rate lies below 0
checks:
    stop: judged_balls > 0
    stop: shrunk_low <= shrunk_high
    stop: expected_rate > 0 and expected_rate < 1
    stop: not is_weak or rate < expected_rate
"""

import numpy as np
import polars as pl

from models.shrinkage import shrink
from models.weakness import MetKinds, against_expectation
from sql.judging import Evidence, numbered

VERSION = 2


def judge(evidence: Evidence) -> pl.DataFrame:
    """Each met combination of the judged weeks, pulled towards its player's level and held to what is expected."""
    cells = _counts(evidence)
    worth = evidence.effective_balls(cells)
    found = shrink(numbered(cells, "player_id"), (cells["good"] / cells["balls"]).to_numpy() * worth, worth)
    pulled = cells.select(
        *("club_id", "player_id", "cell"),
        pl.col("balls").alias("judged_balls"),
        rate=pl.col("good") / pl.col("balls"),
        shrunk_rate=pl.Series(found.rate),
        shrunk_low=pl.Series(found.quantile(0.025)),
        shrunk_high=pl.Series(found.quantile(0.975)),
        worth=pl.Series(worth),
    )
    return pulled.join(_expected(evidence, pulled), on=["player_id", "cell"], maintain_order="left")


def _expected(evidence: Evidence, cells: pl.DataFrame) -> pl.DataFrame:
    """What the cells of each player are expected to give, and whether they clearly fall short of it."""
    conditions = evidence.rows("core.player_conditions").select("player_id", "condition", "cell")
    kinds = evidence.judged_rows("core.block_conditions").join(conditions, on=["player_id", "condition"])
    kinds = kinds.group_by("player_id", "cell", "condition").agg(pl.col("good", "balls").sum())
    worths = {player: own for (player,), own in cells.group_by("player_id", maintain_order=True)}
    frames = [
        _expected_of(evidence, own, worths[player])
        for (player,), own in kinds.sort("player_id", "cell", "condition").group_by("player_id", maintain_order=True)
    ]
    return pl.concat([NOTHING, *frames])


NOTHING = pl.DataFrame(
    schema={"player_id": pl.String, "cell": pl.String, "expected_rate": pl.Float64, "is_weak": pl.Boolean}
)


def _expected_of(evidence: Evidence, kinds: pl.DataFrame, cells: pl.DataFrame) -> pl.DataFrame:
    """One player's: kinds of ball by cell and condition, cells in the same order."""
    belief = evidence.balls.by_others(kinds["player_id"][0])
    kind = np.searchsorted(belief.kinds, evidence.balls.kind_numbers(kinds))
    good, balls = (kinds[name].to_numpy().astype(np.float64) for name in ("good", "balls"))
    log = MetKinds(numbered(kinds, "cell"), kind, good, balls, belief.ease[kind], belief.doubt)
    worth = cells["worth"].to_numpy()
    found = against_expectation(log, worth, design_effect=float(balls.sum() / worth.sum()))
    return cells.select("player_id", "cell", expected_rate=found.expected_rate, is_weak=found.is_weak)


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
