"""The checksum of a batch changes with anything that is stored of it, and with nothing else."""

from datetime import date
from pathlib import Path
from typing import Any

import duckdb
import polars as pl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.records import RECORDS
from sql.backup import restore
from sql.checksums import PARTS, checksum_row, checksums_now
from sql.folder import DataFolder
from sql.verify import log_findings
from sql.warehouse import held, warehouse
from tests.sql.clubs import a_club

OLD_BACKUPS = Path(__file__).parent / "old_backups"
BATCH = {"club_id": "club", "batch": 1, "kind": "sessions", "file_name": "w1.csv"}
NO_REFUSALS = pl.DataFrame(schema={"line": pl.Int64, "fault": pl.Int64})

CELLS = {
    "player": st.none() | st.text(max_size=3),
    "note": st.none() | st.text(max_size=3),
    "balls": st.none() | st.integers(-2, 2),
    "minutes": st.none() | st.floats(-2, 2),
    "active": st.none() | st.booleans(),
    "session_date": st.none() | st.dates(date(2026, 1, 1), date(2026, 1, 3)),
}
TYPES = {
    "line": pl.Int64,
    "player": pl.String,
    "note": pl.String,
    "balls": pl.Int64,
    "minutes": pl.Float64,
    "active": pl.Boolean,
    "session_date": pl.Date,
}
ROWS = st.lists(st.fixed_dictionaries(CELLS), min_size=1, max_size=4)


def frame(rows: list[dict[str, Any]]) -> pl.DataFrame:
    return pl.DataFrame([{"line": at} | row for at, row in enumerate(rows, start=2)], schema=TYPES)


def checksum(rows: list[dict[str, Any]]) -> str:
    return str(checksum_row(BATCH, frame(rows), NO_REFUSALS)["stored_sha256"])


def as_stored(rows: list[dict[str, Any]]) -> list[dict[str, str]]:
    """To the bit: minus nought is not nought."""
    return [{name: repr(value) for name, value in row.items()} for row in rows]


@given(ROWS, ROWS)
def test_two_batches_have_the_same_checksum_where_every_cell_is_the_same(
    one: list[dict[str, Any]], other: list[dict[str, Any]]
) -> None:
    assert (checksum(one) == checksum(other)) == (as_stored(one) == as_stored(other))


@given(ROWS, st.data())
def test_one_other_cell_makes_another_checksum(rows: list[dict[str, Any]], data: st.DataObject) -> None:
    at, name = data.draw(st.integers(0, len(rows) - 1)), data.draw(st.sampled_from(sorted(CELLS)))
    changed = [dict(row) for row in rows]
    changed[at][name] = data.draw(CELLS[name].filter(lambda value: repr(value) != repr(rows[at][name])))

    assert checksum(changed) != checksum(rows)


def test_an_empty_column_of_a_later_migration_changes_no_checksum() -> None:
    lines = frame([{"player": "P1", "balls": 3}])

    wider = lines.with_columns(added=pl.lit(None, pl.String))
    assert checksum_row(BATCH, wider, NO_REFUSALS) == checksum_row(BATCH, lines, NO_REFUSALS)


def test_the_withdrawal_of_a_batch_changes_no_checksum_and_its_file_name_does() -> None:
    lines = frame([{"player": "P1"}])
    before = checksum_row(BATCH, lines, NO_REFUSALS)

    assert checksum_row(BATCH | {"withdrawn_by": "x", "withdrawn_at": "today"}, lines, NO_REFUSALS) == before
    assert checksum_row(BATCH | {"file_name": "w2.csv"}, lines, NO_REFUSALS) != before


def test_what_is_read_back_has_the_checksum_of_what_was_stored(club: DataFolder) -> None:
    with held(club), warehouse(club) as connection:
        kept = connection.sql("select * exclude formula from log.checksums order by batch").pl()

        assert checksums_now(connection).rows() == kept.rows()
        assert set(connection.sql("select formula from log.checksums").fetchall()) == {("by column",)}


def test_every_kind_of_line_is_in_the_checksum_of_its_batch() -> None:
    with a_club() as club:
        tables = {table for (table,) in club.connection.sql("select table_name from duckdb_tables()").fetchall()}

    assert set(RECORDS) < set(PARTS) <= tables


def test_many_batches_are_read_together_and_a_large_one_alone(
    club: DataFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    with held(club), warehouse(club) as connection:
        together = checksums_now(connection)
        monkeypatch.setattr("sql.checksums.LINES_AT_ONCE", 1)

        assert checksums_now(connection).equals(together)


@pytest.mark.parametrize("backup", ["log-1.zip", "log-5-club-3.zip"])
def test_what_was_stored_under_the_formula_of_before_is_still_held_to_it(backup: str, tmp_path: Path) -> None:
    folder = DataFolder(tmp_path / "club")
    restore(OLD_BACKUPS / backup, folder)
    with held(folder):
        assert log_findings(folder) == []
    with duckdb.connect(str(folder.warehouse_file)) as connection:
        assert connection.sql("select distinct formula from log.checksums").fetchall() == [("by row",)]
        connection.execute("update log.sessions set good = good + 1 where batch = 4 and line = 2")

    with held(folder):
        told = [finding.sentence for finding in log_findings(folder)]
    assert any("batch 4 (w10.csv): what is stored of it is not what was stored" in sentence for sentence in told)
