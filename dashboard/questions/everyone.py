"""What everyone may ask: the build, the settings, the weeks, what a table means."""

from datetime import date
from typing import Any

import polars as pl

from dashboard.questions.asking import Desk, answer
from models.permits import Reads
from models.settings import Settings
from sql.warehouse import NothingPublished


def this_build(desk: Desk) -> dict[str, Any]:
    """The publication in force: number, built_at, software_version, settings, cut_off, and counts."""
    return answer(desk, "select * from report.build", reads=Reads.NOBODY).row(0, named=True)


def last_day(desk: Desk) -> date:
    """The last day in the log, from which days are told."""
    cut_off: date = this_build(desk)["cut_off"]
    return cut_off


def settings(desk: Desk) -> Settings:
    """The club's settings with which the publication in force was built."""
    return Settings.model_validate_json(this_build(desk)["settings"])


def weeks(desk: Desk) -> list[date]:
    """Mondays of the club's weeks, the latest first."""
    return answer(desk, "select week from core.weeks order by week desc", reads=Reads.NOBODY)["week"].to_list()


def players(desk: Desk) -> pl.DataFrame:
    """Active players whom one may read: player_id, name, handedness, group_name; by group and name."""
    return answer(
        desk,
        "select player_id, name, handedness, group_name from core.players where is_active"
        " order by group_name, name, player_id",
        reads=Reads.PLAYERS,
    )


def names_by_code(desk: Desk) -> dict[str, str]:
    """The names of all players whom one may read, also of those who no longer train; empty before any are loaded."""
    try:
        rows = answer(desk, "select player_id, name from core.players order by player_id", reads=Reads.PLAYERS)
    except NothingPublished:
        return {}
    return dict(rows.iter_rows())


def about(desk: Desk, table: str) -> str:
    """What a published table is, from its comment: formulas, sources, limits."""
    rows = answer(
        desk,
        "select comment from duckdb_tables() where concat(schema_name, '.', table_name) = $table",
        table=table,
        reads=Reads.NOBODY,
    )
    return str(rows.item())


def meaning(desk: Desk, table: str) -> dict[str, str]:
    """What each column of a published table means, from its comment: the words of the tooltips."""
    rows = answer(
        desk,
        "select column_name, comment from duckdb_columns() where concat(schema_name, '.', table_name) = $table",
        table=table,
        reads=Reads.NOBODY,
    )
    return dict(rows.iter_rows())
