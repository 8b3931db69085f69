"""How varied each player's training was at equal numbers of balls, so that who trained less can be compared with who
trained more. All are brought down to the fewest balls that any player of the club had in the grid in that window, of
those who had as many as the setting rate_balls: so many balls are thought drawn, by chance, from the player's own.
Hurlbert 1971, Ecology 52:577; Chao & Jost 2012, Ecology 93:2533. Targets differ: compare players of one target.
grain: club_id, week, player_id
columns:
    club_id: short name of the club
    week: Monday of the ISO week
    player_id: the club's code for the player
    balls_in_grid: balls fed in the window that a wanted combination describes
    equal_balls: so many of them are thought drawn (balls)
    expected_conditions: so many combinations these would hold on average (combinations)
    expected_coverage: the chance that one more ball would be of a combination met among these (share of 1)
checks:
    stop: equal_balls <= balls_in_grid
    stop: expected_coverage >= 0 and expected_coverage <= 1
"""

import polars as pl

from models.rarefaction import expected_combinations, expected_coverage
from sql.judging import Evidence

VERSION = 1


def judge(evidence: Evidence) -> pl.DataFrame:
    """Every player and week with balls enough."""
    met = evidence.rows("report.coverage").filter(pl.col("balls") > 0)
    mixes = met.group_by("club_id", "week", "player_id", maintain_order=True).agg(pl.col("balls").alias("counts"))
    mixes = mixes.with_columns(balls_in_grid=pl.col("counts").list.sum())
    mixes = mixes.filter(pl.col("balls_in_grid") >= evidence.settings.rate_balls)
    mixes = mixes.with_columns(equal_balls=pl.col("balls_in_grid").min().over("week"))
    asked = list(mixes.select("counts", "equal_balls").iter_rows())
    return mixes.with_columns(
        pl.Series("expected_conditions", [expected_combinations(*one) for one in asked], dtype=pl.Float64),
        pl.Series("expected_coverage", [min(expected_coverage(*one), 1.0) for one in asked], dtype=pl.Float64),
    )
