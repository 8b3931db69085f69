"""A player's success now beside that of the earliest whole window of the log that does not overlap it, like for like.
Only combinations met in both windows count, each in its wanted share, so neither an easier nor a harder mix passes
for a change. Range of the change by Newcombe (1998, Statistics in Medicine 17:873, method 10) on effective balls.
grain: club_id, week, player_id
columns:
    club_id: short name of the club
    week: Monday of the ISO week with which the window now ends
    player_id: the club's code for the player
    then_week: Monday of the ISO week with which the window then ended
    balls: balls of the common combinations in the window now
    then_balls: balls of the common combinations in the window then
    target_share_seen: how much of the wanted mix the comparison speaks for (share of 1)
    rate: success now on the common mix (share of 1)
    then_rate: success then on the common mix (share of 1)
    change: rate less then_rate (share of 1; empty: too few balls)
    change_low: lower end of its 95 % range (share of 1; empty: too few balls)
    change_high: upper end of its 95 % range (share of 1; empty: too few balls)
    detectable_change: the smallest change that these balls could tell from chance (share of 1; empty: too few balls)
    verdict: rising, falling, steady, not_clear or too_few
checks:
    stop: then_week < week
    stop: verdict in ('rising', 'falling', 'steady', 'not_clear', 'too_few')
    stop: (verdict = 'too_few') = (change is null)
"""

from datetime import timedelta

import numpy as np
import polars as pl

from models.intervals import minimal_detectable_change, newcombe_difference
from models.standardise import StandardRates
from models.trend import change_verdict
from sql.judged.standard_success import KEYS, in_windows, rates_on_wanted_mix
from sql.judging import Evidence, null_if_nan

VERSION = 2


def judge(evidence: Evidence) -> pl.DataFrame:
    """A comparison for every window that has an earlier one beside it with combinations in common."""
    now, then = _common(evidence)
    sides = [rates_on_wanted_mix(evidence, rows) for rows in (now, then)]
    totals = [rows.group_by(*KEYS, "then_week").agg(pl.col("balls").sum()).sort(KEYS) for rows in (now, then)]
    table = totals[0].with_columns(then_balls=totals[1]["balls"])
    fewest = np.minimum(table["balls"].to_numpy(), table["then_balls"].to_numpy())
    return _compared(evidence, table, sides[0], sides[1], fewest >= evidence.settings.rate_balls)


def _common(evidence: Evidence) -> tuple[pl.DataFrame, pl.DataFrame]:
    """The rows of the windows now and then, of the combinations that both hold; both bear the week of now."""
    rows = in_windows(evidence)
    first = _first_windows(evidence, rows)
    apart = timedelta(days=evidence.settings.window_days)
    paired = rows.join(first, on="player_id").filter(pl.col("week") >= pl.col("then_week") + apart)
    then = rows.rename({"week": "then_week"}).join(
        paired.select("player_id", "week", "then_week", "cell").unique(), on=["player_id", "then_week", "cell"]
    )
    now = paired.join(then.select("player_id", "week", "cell").unique(), on=["player_id", "week", "cell"], how="semi")
    return now, then


def _first_windows(evidence: Evidence, rows: pl.DataFrame) -> pl.DataFrame:
    """The week with which each player's earliest whole window with enough balls for a rate ends."""
    whole = timedelta(days=evidence.settings.window_days - 7)
    starts = evidence.rows("core.block_cells").group_by("player_id").agg(first_week=pl.col("week").min())
    totals = rows.group_by("player_id", "week").agg(pl.col("balls").sum()).join(starts, on="player_id")
    is_whole = (pl.col("week") >= pl.col("first_week") + whole) & (pl.col("balls") >= evidence.settings.rate_balls)
    return totals.filter(is_whole).group_by("player_id").agg(then_week=pl.col("week").min())


def _compared(
    evidence: Evidence, table: pl.DataFrame, now: StandardRates, then: StandardRates, enough: np.ndarray
) -> pl.DataFrame:
    limits = newcombe_difference(now.rate, now.effective_balls, then.rate, then.effective_balls)
    least = minimal_detectable_change((now.rate + then.rate) / 2, now.effective_balls, then.effective_balls)
    low, high = (np.where(enough, limit, np.nan) for limit in (limits.low, limits.high))
    small = evidence.settings.small_change
    return table.with_columns(
        target_share_seen=now.target_share_seen,
        rate=now.rate,
        then_rate=then.rate,
        change=null_if_nan(np.where(enough, now.rate - then.rate, np.nan)),
        change_low=null_if_nan(low),
        change_high=null_if_nan(high),
        detectable_change=null_if_nan(np.where(enough, least, np.nan)),
        verdict=pl.Series([change_verdict(*ends, small) for ends in zip(low, high, strict=True)], dtype=pl.String),
    )
