"""Cases as people read them: Markdown files with the tables that a model is given and the rows that it must give.

A file `cases/core.players.md` holds the cases of that model. A case begins with a sentence in a second-level heading,
perhaps with a few words more; then come tables, each under a line `given <table>` or `expect`. An empty cell is null; a
table that is not given is that of a club without any log; a column that is not listed is null, and `club_id` is the
same everywhere. Only the listed columns are compared, row by row in the order of the model's grain.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction
from pathlib import Path
from typing import Any

import duckdb

from sql.catalogue import Model
from tests.sql.clubs import Row

CASES = Path(__file__).parent / "cases"

READERS: dict[str, Any] = {
    "BIGINT": int,
    "INTEGER": int,
    "DOUBLE": lambda cell: float(Fraction(cell)),
    "DATE": date.fromisoformat,
    "TIMESTAMP": datetime.fromisoformat,
    "BOOLEAN": lambda cell: {"true": True, "false": False}[cell],
    "VARCHAR": str,
}


@dataclass(frozen=True)
class Table:
    """A table of a case, its cells still text."""

    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Case:
    """What a model is given and must give, and what that shows."""

    model: str
    sentence: str
    given: dict[str, Table]
    expected: Table


def all_cases() -> Iterator[Case]:
    for file in sorted(CASES.glob("*.md")):
        for section in re.split(r"^## ", file.read_text(encoding="utf-8"), flags=re.MULTILINE)[1:]:
            yield _case(file.stem, section)


def _case(model: str, section: str) -> Case:
    sentence, *lines = section.splitlines()
    tables: dict[str, list[tuple[str, ...]]] = {}
    for line in lines:
        if said := re.fullmatch(r"given (\S+)|(expect)", line):
            tables[said[1] or said[2]] = rows = []
        elif line.startswith("|"):
            rows.append(_cells(line))
        elif line and tables:
            raise ValueError(
                f"{model}, {sentence}: expected 'given <table>', 'expect' or a row of a table, saw {line!r}"
            )
    parsed = {name: Table(rows[0], tuple(rows[2:])) for name, rows in tables.items()}
    expected = parsed.pop("expect")
    return Case(model, sentence, parsed, expected)


def _cells(line: str) -> tuple[str, ...]:
    """The cells of a row; `\\|` is a bar within a cell."""
    return tuple(cell.strip().replace("\\|", "|") for cell in re.split(r"(?<!\\)\|", line)[1:-1])


def expected_rows(connection: duckdb.DuckDBPyConnection, case: Case) -> list[Row]:
    return _typed(connection, case.model, case.expected)


def actual_rows(connection: duckdb.DuckDBPyConnection, model: Model, case: Case) -> list[Row]:
    """What the model gives for the given tables; the warehouse is left as it was."""
    connection.begin()
    try:
        for name, table in case.given.items():
            _replace(connection, name, _typed(connection, name, table))
        listed = ", ".join(f'"{column}"' for column in case.expected.columns)
        answer = connection.execute(f"select {listed} from ({model.query}) order by {', '.join(model.grain)}")
        return [dict(zip(case.expected.columns, values, strict=True)) for values in answer.fetchall()]
    finally:
        connection.rollback()


def _typed(connection: duckdb.DuckDBPyConnection, table: str, text: Table) -> list[Row]:
    types = {row[0]: row[1] for row in connection.execute(f"describe {table}").fetchall()}
    readers = [READERS[types[column]] for column in text.columns]
    return [
        {column: read(cell) if cell else None for column, read, cell in zip(text.columns, readers, row, strict=True)}
        for row in text.rows
    ]


def _replace(connection: duckdb.DuckDBPyConnection, table: str, rows: list[Row]) -> None:
    """Put an empty table of the same shape, and these rows, in the place of a table or a view."""
    connection.execute(f"create temp table shape as select * from {table} limit 0")
    kind = "view" if table.endswith("_in_force") else "table"
    connection.execute(f"drop {kind} {table} cascade")
    connection.execute(f"create table {table} as select * from shape")
    connection.execute("drop table shape")
    has_club = "club_id" in {column[0] for column in connection.execute(f"describe {table}").fetchall()}
    for row in rows:
        whole = ({"club_id": "club"} | row) if has_club else row
        names, marks = ", ".join(f'"{name}"' for name in whole), ", ".join("?" * len(whole))
        connection.execute(f"insert into {table} ({names}) values ({marks})", list(whole.values()))
