"""Is a player's success rising, falling or steady over the judged weeks: one row per player, cut and value.
A straight line through the log-odds of the sessions, each against how hard its balls were for everybody and for this
player on other days; the range holds what chance, the form of the days and the doubt about the balls leave open.
How hard the balls were is told by one model of the club (crossed effects of players and kinds, Breslow & Clayton 1993,
Journal of the American Statistical Association 88:9); how much days differ, and how far form carries over to the next
session, by restricted likelihood over the whole club (Patterson & Thompson 1971, Biometrika 58:545). Not clear, the
balls changed: more than half of the doubt is about how hard the balls were, so an easier or a harder mix can't be told
from progress. Cuts are many looks at the same balls: their ranges are widened together, so that of what stands out one
in twenty is chance (Benjamini & Hochberg 1995, Journal of the Royal Statistical Society B 57:289; Benjamini &
Yekutieli 2005, Journal of the American Statistical Association 100:71). Steady: the whole range of
the change is smaller than the setting small_change. Rising or falling: it is not, and lies above or below 0 as a whole.
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
    slope_low: lower end of its range, 95 % and for cuts more (per week; empty: too few)
    slope_high: upper end of its range, 95 % and for cuts more (per week; empty: too few)
    p_value: chance of a slope as steep without any trend, this one look alone (share of 1; empty: too few)
    dispersion: spread between sessions, 1 = chance alone (ratio)
    change: change of the rate from the first session to the last, on balls equally hard (share of 1; empty: too few)
    change_low: lower end of its range, 95 % and for cuts more (share of 1; empty: too few)
    change_high: upper end of its range, 95 % and for cuts more (share of 1; empty: too few)
    verdict: rising, falling, steady, not_clear, balls_changed or too_few
checks:
    stop: verdict in ('rising', 'falling', 'steady', 'not_clear', 'balls_changed', 'too_few')
    stop: (verdict = 'too_few') = (slope is null)
    stop: slope is null or (slope_low <= slope and slope <= slope_high)
    stop: dispersion >= 1
"""

import numpy as np
import polars as pl

from models.club_trends import CutBalls, club_trends
from models.trend import Trends, TrendSettings
from sql.judging import Evidence, null_if_nan, numbered
from sql.known_balls import days

VERSION = 3
KEYS = ("club_id", "player_id", "cut", "value")


def judge(evidence: Evidence) -> pl.DataFrame:
    """A trend for every value of every cut that a player met in the judged weeks."""
    rows = evidence.judged_rows("core.cut_sessions")
    log = CutBalls(
        numbered(rows, *KEYS),
        evidence.balls.player_numbers(rows),
        numbered(rows, "session_date", "session_id"),
        evidence.balls.kind_numbers(rows),
        days(rows) / 7,
        *(rows[name].to_numpy().astype(np.float64) for name in ("good", "balls")),
    )
    is_whole = (rows["cut"] == "all").to_numpy()
    found = club_trends(log, is_whole, evidence.balls.by_all(), _settings(evidence))
    return _table(rows, found)


def _table(rows: pl.DataFrame, found: Trends) -> pl.DataFrame:
    first, last = pl.col("session_date").min(), pl.col("session_date").max()
    spans = rows.group_by(KEYS).agg(first_on=first, last_on=last, balls=pl.col("balls").sum())
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
