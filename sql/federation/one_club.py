"""One club of a federation over the weeks, and which balls it meets: of enough players, never of one."""

from pathlib import Path

import duckdb
import polars as pl

from sql.federation.clubs import published, rows_of, told_mean

WEEKS = {
    "week": pl.Date,
    "players_with_log": pl.Int64,
    "players_judged": pl.Int64,
    "coverage": pl.Float64,
    "coverage_low": pl.Float64,
    "coverage_high": pl.Float64,
}
"""`players_with_log` have a log in the window that ends with the week; `coverage` as in the table of clubs."""


def club_weeks(out: Path, club_id: str, least_players: int) -> pl.DataFrame:
    """The weeks in whose window enough players of a club have a log, the latest first: WEEKS. Raises NothingBuilt."""
    build, _ = published(out)
    with duckdb.connect() as connection:
        found: pl.DataFrame = connection.sql(
            f"""
            select week, grid_coverage as coverage
            from {rows_of(build, "report.variety")}
            where club_id = ? and balls > 0
            order by week desc, player_id""",
            params=[club_id],
        ).pl()
    rows = [
        {
            "week": week,
            "players_with_log": players.height,
            "players_judged": len(players["coverage"].drop_nulls()),
            **told_mean(players["coverage"], least_players),
        }
        for (week,), players in found.group_by("week", maintain_order=True)
        if players.height >= least_players
    ]
    return pl.DataFrame(rows, schema=WEEKS)


def club_values(out: Path, club_id: str, least_players: int) -> pl.DataFrame:
    """In what the balls of a club's last window differ: `dimension`, `value`, `players` who met it, `share` of balls.

    A value that fewer players met is left out, and shares are of the balls that are told: no whole tells of the rest.
    Raises NothingBuilt.
    """
    build, _ = published(out)
    with duckdb.connect() as connection:
        found: pl.DataFrame = connection.sql(
            f"""
            with last as (
                select window_start from {rows_of(build, "core.weeks")} where club_id = $1 order by week desc limit 1
            ),
            told as (
                select dimension, value, count(distinct player_id) as players, sum(balls) as balls
                from {rows_of(build, "core.value_weeks")}, last
                where club_id = $1 and week >= window_start
                group by dimension, value
                having count(distinct player_id) >= $2
            )
            select dimension, value, players, cast(balls / sum(balls) over (partition by dimension) as double) as share
            from told
            order by dimension, value""",
            params=[club_id, least_players],
        ).pl()
    return found
