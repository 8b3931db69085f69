"""Is a player's success rising, falling or steady over the judged weeks: one row per player, cut and value.
A logistic line through the sessions, each against what the player's club mates make of the same balls, so that a mix
that grows easier does not pass for progress. Sessions differ by more than chance; their spread (never taken below 1)
widens the range, with Student's t on sessions - 2 (quasi-likelihood, McCullagh & Nelder 1989, Generalized Linear
Models, ch. 4). Steady means that the whole range of the change is smaller than the setting small_change.
grain: club_id, player_id, cut, value
columns:
    club_id: short name of the club
    player_id: the club's code for the player
    cut: by what the balls are told apart (all: not at all)
    value: the word of that cut
    sessions: sessions with such balls
    balls: balls fed in them
    first_on: day of the first of these sessions
    last_on: day of the last of these sessions
    slope: rise of the log-odds of success (per week; empty: too few)
    slope_low: lower end of its 95 % range (per week; empty: too few)
    slope_high: upper end of its 95 % range (per week; empty: too few)
    p_value: chance of a slope as steep without any trend (share of 1; empty: too few)
    dispersion: spread between sessions, 1 = chance alone (ratio)
    change: change of the rate from the first session to the last, on balls equally hard (share of 1; empty: too few)
    change_low: lower end of its 95 % range (share of 1; empty: too few)
    change_high: upper end of its 95 % range (share of 1; empty: too few)
    verdict: rising, falling, steady, not_clear or too_few
checks:
    stop: verdict in ('rising', 'falling', 'steady', 'not_clear', 'too_few')
    stop: (verdict = 'too_few') = (slope is null)
    stop: slope is null or (slope_low <= slope and slope <= slope_high)
    stop: dispersion >= 1
"""

from datetime import date

import polars as pl

from models.trend import TrendSettings, trends
from sql.judging import Evidence, null_if_nan, numbered

VERSION = 2
KEYS = ("club_id", "player_id", "cut", "value")


def judge(evidence: Evidence) -> pl.DataFrame:
    """A trend for every value of every cut that a player met in the judged weeks."""
    rows = evidence.judged_rows("core.cut_sessions")
    days = (rows["session_date"] - date(2000, 1, 3)).dt.total_days()
    found = trends(
        numbered(rows, *KEYS),
        days.to_numpy() / 7,
        rows["good"],
        rows["balls"],
        (rows["expected_good"] / rows["balls"]).to_numpy(),
        _settings(evidence),
    )
    spans = rows.group_by(KEYS).agg(
        first_on=pl.col("session_date").min(), last_on=pl.col("session_date").max(), balls=pl.col("balls").sum()
    )
    return spans.sort(KEYS).with_columns(
        sessions=pl.Series(found.sessions, dtype=pl.Int64),
        slope=null_if_nan(found.slope),
        slope_low=null_if_nan(found.slope_low),
        slope_high=null_if_nan(found.slope_high),
        p_value=null_if_nan(found.p_value),
        dispersion=found.dispersion,
        change=null_if_nan(found.change),
        change_low=null_if_nan(found.change_low),
        change_high=null_if_nan(found.change_high),
        verdict=pl.Series(found.verdict, dtype=pl.String),
    )


def _settings(evidence: Evidence) -> TrendSettings:
    club = evidence.settings
    return TrendSettings(club.trend_sessions, club.trend_balls, club.small_change)
