"""Which balls of a player's window carry a length that they cannot have: one row per kind of feed that has any.
The log keeps the word as it was written; by every set of coefficients such a ball would be longer or shorter.
grain: club_id, week, player_id, feed_kind
columns:
    club_id: short name of the club
    week: Monday of the ISO week
    player_id: the club's code for the player
    feed_kind: the kind of feed in words, its setup last; any: the line does not say
    setup_id: the club's code for the setup
    spin: the spin of the fed ball
    length: short, half_long, long, as logged
    length_by_physics: short, half_long or long (empty: the sets differ, or such a ball cannot be fed)
    balls: balls fed in the window that are so
    doubtful_balls: all balls of doubtful length in the window
checks:
    stop: balls > 0 and balls <= doubtful_balls
"""

import polars as pl

from sql.judging import Evidence

VERSION = 1
READS = ("report.feed_physics",)
KINDS = ("club_id", "feed_kind", "setup_id", "spin", "length", "length_by_physics")
WINDOW = ("player_id", "week")


def judge(evidence: Evidence) -> pl.DataFrame:
    """The doubtful kinds of feed of every window in the log."""
    kinds = evidence.rows("report.feed_physics").filter("is_doubtful").select(KINDS)
    fed = evidence.rows("core.feed_weeks").join(kinds, on=["club_id", "feed_kind"])
    windows = evidence.rows("core.player_weeks").select(WINDOW)
    met = evidence.in_windows(fed).join(windows, on=WINDOW, how="semi")
    counted = met.group_by(*WINDOW, *KINDS).agg(pl.col("balls").sum())
    return counted.with_columns(doubtful_balls=pl.col("balls").sum().over(WINDOW))
