"""The schema log after its migrations: the views of what is in force stand for what the records declare."""

from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from models.records import RECORDS
from sql.migrations import MIGRATIONS
from tests.sql.clubs import Club, a_club, line_of

KINDS = list(RECORDS)


def line(kind: str) -> dict[str, Any]:
    return {"line": 2, "mends": None} | line_of(kind, {})


def batches_in_force(club: Club, kind: str) -> list[int]:
    return sorted(row["batch"] for row in club.rows(f"log.{kind}_in_force"))


@pytest.mark.parametrize("kind", KINDS)
def test_of_the_same_line_that_of_the_latest_batch_is_in_force(kind: str) -> None:
    with a_club() as club:
        for _ in range(3):
            club.store(kind, [line(kind)], [])
        latest = batches_in_force(club, kind)
        club.connection.execute("update log.batches set withdrawn_at = current_timestamp where batch = 3")

        assert (latest, batches_in_force(club, kind)) == ([3], [2])


@pytest.mark.parametrize(("kind", "column"), [(kind, name) for kind in KINDS for name in RECORDS[kind].identity])
def test_a_line_that_differs_in_any_column_of_its_identity_is_another(kind: str, column: str) -> None:
    first = line(kind)
    with a_club() as club:
        club.store(kind, [first], [])
        club.store(kind, [first | {column: another(first[column])}], [])

        assert batches_in_force(club, kind) == [1, 2]


def another(value: Any) -> Any:
    if isinstance(value, date):
        return value + timedelta(days=1)
    return value + 1 if isinstance(value, int) else f"{value}2"


def test_a_column_that_a_later_migration_adds_is_in_the_view(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    for file in MIGRATIONS.glob("*.sql"):
        (tmp_path / file.name).write_bytes(file.read_bytes())
    (tmp_path / "9999_bounce.sql").write_text("alter table log.balls add column bounce varchar;")
    monkeypatch.setattr("sql.migrations.MIGRATIONS", tmp_path)
    with a_club() as club:
        club.store("balls", [line("balls")], [])
        club.connection.execute("update log.balls set bounce = 'kicks'")

        assert club.rows("log.balls_in_force", "bounce") == [{"bounce": "kicks"}]
