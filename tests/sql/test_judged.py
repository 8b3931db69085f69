"""The judged tables: their contract, an empty club, clubs side by side, and the same answer every time."""

import pytest

from sql.judging import SEED
from tests.sql.clubs import Club, Row, a_club
from tests.sql.judged_clubs import FIRST_WEEK, OF_TRAINING, fill, in_week, judge, judgements_of_training

GRID = {"depth": ("back", "middle", "near"), "spin_family": ("backspin", "topspin")}
LOOKS_AT_COMMENTS = True
JUDGED = [judgement.table for judgement in judgements_of_training()]

COUNTED = [
    {
        **in_week(week),
        "player": player,
        "setup": setup,
        "spin": spin,
        "balls": 20 + week,
        "good": (good := (7 * week + 11 * at + skill) % 15 + 4),
        "net": 18 + week - good,
        "wide": 2,
    }
    for week in range(9)
    for player, skill in (("P1", 3), ("P2", 8))
    for at, (setup, spin) in enumerate((("B", "backspin"), ("M", "topspin"), ("N", "backspin")))
]

ONE_BY_ONE = [
    {
        **in_week(week, days=3),
        "player": "P1",
        "block": 50,
        "ball": ball,
        "setup": "BM"[ball // 2 % 2],
        "spin": "topspin",
        "outcome": "net" if (ball * ball + week) % 5 == 0 else "good",
        "probe": "spring" if week in (0, 8) else None,
    }
    for week in range(9)
    for ball in range(1, 25)
]


def a_log_for(club: Club) -> Club:
    return fill(club, GRID, COUNTED, ONE_BY_ONE)


def everything(club: Club) -> dict[str, list[Row]]:
    return {table: club.rows(table) for table in JUDGED}


def types(club: Club) -> dict[str, list[tuple[str, str]]]:
    return {table: [row[:2] for row in club.connection.execute(f"describe {table}").fetchall()] for table in JUDGED}


@pytest.fixture(scope="module")
def full():
    """Every judged table has rows."""
    with a_club() as club:
        yield judge(a_log_for(club))


@pytest.fixture(scope="module")
def empty():
    """A club on its first day."""
    with a_club() as club:
        yield judge(club)


def test_every_judged_table_has_the_columns_and_the_comments_of_its_header(full):
    said = {
        (row["name"], row["column_name"]): row["comment"]
        for row in full.rows("duckdb_columns()", "schema_name || '.' || table_name as name, column_name, comment")
    }
    for judgement in judgements_of_training():
        assert [name for name, _ in types(full)[judgement.table]] == list(judgement.columns)
        assert {name: said[judgement.table, name] for name in judgement.columns} == judgement.columns
        assert judgement.about.endswith((".", "?"))
        assert all(judgement.columns.values())


def test_the_club_of_these_tests_has_rows_in_every_judged_table(full):
    assert len(JUDGED) == len(OF_TRAINING)
    assert [table for table, rows in everything(full).items() if not rows] == []


def test_a_club_on_its_first_day_has_empty_judged_tables_with_the_columns_and_types_of_a_full_one(empty, full):
    rows = everything(empty)

    assert types(empty) == types(full)
    assert {table: len(rows[table]) for table in JUDGED if rows[table]} == {
        "report.block_likeness": 1,
        "report.judgements": len(JUDGED),
    }
    assert rows["report.block_likeness"] == [
        {"club_id": "club", "likeness": 0.05, "comparisons": 0, "is_assumed": True}
        | {"session_likeness": 0.025, "session_comparisons": 0, "session_is_assumed": True}
    ]


def test_every_table_tells_by_which_version_seed_and_last_week_it_was_judged(full, empty):
    versions = {judgement.table: judgement.version for judgement in judgements_of_training()}

    assert full.rows("report.judgements") == [
        {
            "club_id": "club",
            "table_name": table,
            "version": version,
            "seed": SEED,
            "last_week": in_week(8)["session_date"],
        }
        for table, version in sorted(versions.items())
    ]
    assert {row["last_week"] for row in empty.rows("report.judgements")} == {None}


def test_clubs_that_share_a_warehouse_are_judged_as_each_alone_to_the_last_bit(full):
    """The neighbour has the same players under other settings, five weeks only, and other luck; the newest no log."""
    other = {"club_id": "other", "window_days": 14, "rate_balls": 5, "covered_balls": 30, "judged_weeks": 6}
    half = [line | {"good": 1, "net": line["balls"] - 3} for line in COUNTED if _early(line)]
    with a_club(**other) as alone:
        expected = everything(judge(fill(alone, GRID, half)))

    with a_club() as first:
        neighbour = first.neighbour(first.settings.model_copy(update=other))
        first.neighbour(first.settings.model_copy(update={"club_id": "new"}))
        neighbour.batches = 100
        a_log_for(first)
        fill(neighbour, GRID, half)
        together = everything(judge(first))

    by_club = {
        code: {table: [row for row in rows if row["club_id"] == code] for table, rows in together.items()}
        for code in ("club", "other", "new")
    }
    assert by_club["club"] == everything(full)
    assert by_club["other"] == expected
    assert {table for table, rows in by_club["new"].items() if rows} == {"report.block_likeness", "report.judgements"}


def _early(line: Row) -> bool:
    return line["session_date"] < FIRST_WEEK.replace(month=4)
