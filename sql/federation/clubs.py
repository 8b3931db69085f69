"""Who sends logs and how varied training is, by club and age group: counts and means, never a person.

A group of fewer players than LEAST_PLAYERS is not shown by itself. The small ones of a club are shown together where
together they are enough, and not at all where they are not: no total tells of them.
"""

from datetime import date
from pathlib import Path

import duckdb
import polars as pl

from models.mean_range import range_of_mean
from models.refusal import Refused
from sql.federation.publication import ABOUT, Federation, build_in_force, parquet_of
from sql.federation.served import LEAST_PLAYERS
from sql.literals import literal

AGE_GROUPS = ((14, "under 15"), (18, "under 19"), (39, "19 to 39"), (200, "40 and over"))
"""The oldest age at the end of the season's first year, and its name (common practice, no source)."""

UNKNOWN_AGE, OTHER_AGES, ALL_AGES = "age not noted", "other ages", "all ages"

COLUMNS = {
    "club_id": pl.String,
    "club_name": pl.String,
    "age_group": pl.String,
    "exported_on": pl.Date,
    "last_logged_on": pl.Date,
    "players": pl.Int64,
    "players_with_log": pl.Int64,
    "players_judged": pl.Int64,
    "coverage": pl.Float64,
    "coverage_low": pl.Float64,
    "coverage_high": pl.Float64,
}
"""`players` are active; `players_with_log` of them have a log in the club's window; `coverage` is the mean share of the
wanted combinations that a player with a log and a target covers (`players_judged`), with its 95% range; empty where
these are too few to be told of."""


class NothingBuilt(Refused):
    """No build of a federation is in force here."""


def clubs_table(out: Path, least_players: int = LEAST_PLAYERS) -> pl.DataFrame:
    """The clubs of the build in force, a row for each age group that may be told: COLUMNS. Raises NothingBuilt."""
    build, federation = published(out)
    players = _players(build)
    rows = []
    for club in federation.clubs:
        of_club = players.filter(pl.col("club_id") == club.club_id)
        about = {
            "club_id": club.club_id,
            "club_name": club.club_name,
            "exported_on": date.fromisoformat(club.exported_at[:10]),
            "last_logged_on": of_club["last_logged_on"].max(),
        }
        rows += [about | told for told in age_rows(of_club, least_players)] or [about]
    return pl.DataFrame(rows, schema=COLUMNS)


def published(out: Path) -> tuple[Path, Federation]:
    """The build in force, and what it says of itself. Raises NothingBuilt."""
    build = build_in_force(out)
    if build is None or not build.exists():
        raise NothingBuilt("no build is in force here.", where=out, to_do="Run 'halflong federation build'.")
    return build, Federation.model_validate_json((build / ABOUT).read_text(encoding="utf-8"))


def told_mean(shares: pl.Series, least_players: int) -> dict[str, object]:
    """The mean of players' shares and its 95% range, of enough players; nothing of fewer, whom it would tell of."""
    known = shares.drop_nulls()
    if len(known) < max(2, least_players):
        return {}
    found = range_of_mean(float(known.mean() or 0), float(known.std() or 0), len(known))  # type: ignore[arg-type]
    return {"coverage": found.value, "coverage_low": max(0.0, found.low), "coverage_high": min(1.0, found.high)}


def rows_of(build: Path, table: str) -> str:
    """The rows of a published table, for a select. Raises NothingBuilt where no club has any, and so no file is."""
    if not any((build / table).rglob("*.parquet")):
        raise NothingBuilt(f"no club has a row in {table}.", where=build, to_do="Build again when logs were exported.")
    return f"read_parquet({literal(parquet_of(build, table))}, hive_partitioning = false)"


def _players(build: Path) -> pl.DataFrame:
    """Each active player in the last week of the club's log."""
    with duckdb.connect() as connection:
        rows: pl.DataFrame = connection.sql(f"""
            select p.club_id, p.birth_year, s.last_logged_on, year(w.week) as year,
                coalesce(s.balls, 0) > 0 as has_log,
                case when s.balls > 0 then v.grid_coverage end as coverage
            from {rows_of(build, "core.players")} as p
            left join (select club_id, max(week) as week from {rows_of(build, "core.weeks")} group by club_id) as w
                on p.club_id = w.club_id
            left join {rows_of(build, "report.standing")} as s
                on p.club_id = s.club_id and p.player_id = s.player_id and w.week = s.week
            left join {rows_of(build, "report.variety")} as v
                on p.club_id = v.club_id and p.player_id = v.player_id and w.week = v.week
            where p.is_active
            order by p.club_id, p.player_id""").pl()
    return rows


def age_rows(players: pl.DataFrame, least_players: int) -> list[dict[str, object]]:
    """The rows of one club: age groups that are large enough, then the others together where they are."""
    named = players.with_columns(
        age_group=pl.struct("birth_year", "year").map_elements(
            lambda one: age_group(one["birth_year"], one["year"]), return_dtype=pl.String
        )
    )
    groups = {str(name): rows for (name,), rows in named.group_by("age_group", maintain_order=True)}
    order = [*(name for _, name in AGE_GROUPS), UNKNOWN_AGE]
    large = [(name, groups[name]) for name in order if name in groups and groups[name].height >= least_players]
    small = [rows for name, rows in groups.items() if rows.height < least_players]
    others = (
        [(OTHER_AGES if large else ALL_AGES, pl.concat(small))]
        if sum(rows.height for rows in small) >= least_players
        else []
    )
    return [_told(name, rows, least_players) for name, rows in (*large, *others)]


def age_group(birth_year: int | None, year: int | None) -> str:
    """The age group of a player in a year."""
    if birth_year is None or year is None:
        return UNKNOWN_AGE
    return next(name for oldest, name in AGE_GROUPS if year - birth_year <= oldest)


def _told(name: str, rows: pl.DataFrame, least_players: int) -> dict[str, object]:
    return {
        "age_group": name,
        "players": rows.height,
        "players_with_log": int(rows["has_log"].sum()),
        "players_judged": len(rows["coverage"].drop_nulls()),
        **told_mean(rows["coverage"], least_players),
    }
