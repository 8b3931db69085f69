"""How often the ball landed where the drill asked, with the range in which the true rate plausibly lies.
Balls are those of the window that ends with the week's Sunday. Because balls of one block, and of one session, resemble
each other, the range is Wilson's 95 % interval (Newcombe 1998, Statistics in Medicine 17:857) on effective balls:
balls / (1 + (m - 1) x likeness + (s - m) x session_likeness), m and s the sizes of the block and of the session that a
ball finds itself in (Kish 1965). The shrunk rate is for ranking: small
counts are pulled towards the player's own level (for all balls together: towards the club's), by empirical Bayes with
the spread integrated out (Gelman et al. 2013, Bayesian Data Analysis, 5.3). Success against fed balls is not success
in matches.
grain: club_id, week, player_id, cut, value
columns:
    club_id: short name of the club
    week: Monday of the ISO week
    player_id: the club's code for the player
    cut: by what the balls are told apart (all: not at all)
    value: the word of that cut
    balls: balls fed in the window
    good: of these, balls that landed where the drill asked
    effective_balls: single balls that would tell as much (balls)
    rate: good of balls (share of 1; empty: fewer balls than the setting rate_balls)
    low: lower end of the range (share of 1; empty: too few balls)
    high: upper end of the range (share of 1; empty: too few balls)
    shrunk_rate: the rate, pulled towards the usual level the more the fewer balls there are (share of 1)
    shrunk_low: lower end of its 95 % range (share of 1)
    shrunk_high: upper end of its 95 % range (share of 1)
checks:
    stop: good <= balls
    stop: effective_balls > 0 and effective_balls <= balls + 1e-9
    stop: rate is null or (0 <= low and low <= rate and rate <= high and high <= 1)
    stop: (rate is null) = (low is null) and (rate is null) = (high is null)
    stop: 0 <= shrunk_low and shrunk_low <= shrunk_rate and shrunk_rate <= shrunk_high and shrunk_high <= 1
"""

import numpy as np
import polars as pl

from models.intervals import wilson
from models.shrinkage import Posterior, shrink
from sql.judging import Evidence, null_if_nan, numbered

VERSION = 2


def judge(evidence: Evidence) -> pl.DataFrame:
    """Every window of every cut, rated, ranged and shrunk."""
    rows = evidence.rows("core.success_windows")
    balls, good = rows["balls"].to_numpy(), rows["good"].to_numpy()
    worth = evidence.effective_balls(rows)
    rate = np.where(balls >= evidence.settings.rate_balls, good / balls, np.nan)
    plausible = wilson(rate, worth)
    shrunk = _shrunk(rows, worth)
    return rows.drop("squared_block_balls", "squared_session_balls").with_columns(
        effective_balls=worth,
        rate=null_if_nan(rate),
        # At a rate of 0 or 1 one end is the rate itself; arithmetic would miss it by a hair.
        low=null_if_nan(np.where(good == 0, rate, plausible.low)),
        high=null_if_nan(np.where(good == balls, rate, plausible.high)),
        shrunk_rate=shrunk.rate,
        shrunk_low=shrunk.quantile(0.025),
        shrunk_high=shrunk.quantile(0.975),
    )


def _shrunk(rows: pl.DataFrame, worth: np.ndarray) -> Posterior:
    """Values of one cut share their player's level; all balls of a player share the club's level of that week."""
    of_whom = pl.when(pl.col("cut") == "all").then(pl.lit("")).otherwise("player_id")
    group = numbered(rows.with_columns(of_whom=of_whom), "week", "cut", "of_whom")
    return shrink(group, rows["good"].to_numpy() * worth / rows["balls"].to_numpy(), worth)
