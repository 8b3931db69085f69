"""Small tables are written together, large ones by themselves; what ended before a failure stays."""

from pathlib import Path

import duckdb
import pytest

from sql.few_transactions import few_transactions


def seen_by_others(connection: duckdb.DuckDBPyConnection) -> list[str]:
    other = connection.cursor()
    return [name for (name,) in other.execute("select table_name from duckdb_tables() order by 1").fetchall()]


def write_some(connection: duckdb.DuckDBPyConnection, seen: list[str]) -> None:
    with few_transactions(connection, 10) as written:
        for name, rows in (("a", 4), ("b", 5), ("c", 1), ("d", 9), ("e", 100), ("f", 9)):
            connection.execute(f"create table {name} as select * from range({rows})")
            written(rows)
            seen.append("".join(seen_by_others(connection)))
        raise ZeroDivisionError


def test_a_transaction_ends_once_it_has_written_enough_rows(tmp_path: Path) -> None:
    connection = duckdb.connect(str(tmp_path / "some.duckdb"))
    seen: list[str] = []
    with pytest.raises(ZeroDivisionError):
        write_some(connection, seen)

    assert seen == ["", "", "abc", "abc", "abcde", "abcde"]
    assert seen_by_others(connection) == ["a", "b", "c", "d", "e"]
