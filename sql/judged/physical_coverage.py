"""What a player met in physical terms, over the window: how many balls came from which angle, and how soon.
Every word of a measure has a row, so that what is missing shows. The bands are those of report.feed_physics, by limits
in the settings; balls of a kind that cannot be fed belong to no band, and are left out.
grain: club_id, week, player_id, measure, band
columns:
    club_id: short name of the club
    week: Monday of the ISO week
    player_id: the club's code for the player
    measure: angle (of the incoming ball) or time (from release to contact)
    band: the word for it
    balls: balls fed in the window that came so
    told_balls: all balls of the window that are told in this measure
    share: balls, of all in the window that are told in this measure (share of 1; empty: there are none)
checks:
    stop: measure in ('angle', 'time')
    stop: share is null or (share >= 0 and share <= 1)
"""

import polars as pl

from models.words import ANGLE_BAND, TIME_BAND
from sql.judging import Evidence

VERSION = 2
READS = ("report.feed_physics",)
MEASURES = {"angle": ANGLE_BAND, "time": TIME_BAND}
WINDOW = ("player_id", "week", "measure")


def judge(evidence: Evidence) -> pl.DataFrame:
    """The balls of every window in every band."""
    every_band = pl.DataFrame(
        [(measure, band) for measure, words in MEASURES.items() for band in words.names],
        schema=["measure", "band"],
        orient="row",
    )
    windows = evidence.rows("core.player_weeks").select("club_id", "player_id", "week").join(every_band, how="cross")
    met = windows.join(_balls_in_windows(evidence), on=[*WINDOW, "band"], how="left")
    balls = pl.col("balls").fill_null(0)
    in_all = balls.sum().over(WINDOW)
    share = pl.when(in_all > 0).then(balls / in_all)
    figures = {"balls": balls, "told_balls": in_all, "share": share}
    return met.select("club_id", "week", "player_id", "measure", "band", **figures)


def _balls_in_windows(evidence: Evidence) -> pl.DataFrame:
    """Balls by player, measure and band; `week` is the window's last week."""
    kinds = evidence.rows("report.feed_physics").select("feed_kind", *(f"{measure}_band" for measure in MEASURES))
    fed = evidence.rows("core.feed_weeks").join(kinds, on="feed_kind")
    key = ("player_id", "week", "measure", "band")
    by_week = pl.concat(
        fed.select(
            "player_id", "week", pl.lit(measure).alias("measure"), pl.col(f"{measure}_band").alias("band"), "balls"
        )
        for measure in MEASURES
    )
    by_week = by_week.drop_nulls("band").group_by(key).agg(pl.col("balls").sum())
    return evidence.in_windows(by_week).group_by(key).agg(pl.col("balls").sum())
