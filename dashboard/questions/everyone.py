"""What everyone may ask: the build, the settings, the weeks, what a table means."""

from datetime import date
from functools import lru_cache

from dashboard.questions.asking import Desk, answer, answer_rows
from dashboard.rows.club import BuildRow, PlayerRow
from models.permits import Reads
from models.settings import Settings
from sql.warehouse import NothingPublished


def this_build(desk: Desk) -> BuildRow:
    """The publication in force."""
    question = "select number, built_at, settings, cut_off from report.build"
    return answer_rows(desk, BuildRow, question, reads=Reads.NOBODY)[0]


def has_logs(desk: Desk) -> bool:
    """Something was fed already, by the log."""
    try:
        return this_build(desk).cut_off is not None
    except NothingPublished:
        return False


def last_day(desk: Desk) -> date:
    """The last day in the log, from which days are told; as long as there is none, the day of the build."""
    build = this_build(desk)
    return build.cut_off or build.built_at.date()


def settings(desk: Desk) -> Settings:
    """The club's settings with which the publication in force was built."""
    return _settings_as_stored(this_build(desk).settings)


@lru_cache(maxsize=8)
def _settings_as_stored(text: str) -> Settings:
    return Settings.model_validate_json(text)


def weeks(desk: Desk) -> list[date]:
    """Mondays of the club's weeks, the latest first."""
    return answer(desk, "select week from core.weeks order by week desc", reads=Reads.NOBODY)["week"].to_list()


def players(desk: Desk) -> tuple[PlayerRow, ...]:
    """Active players whom one may read, by group and name."""
    return answer_rows(
        desk,
        PlayerRow,
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
