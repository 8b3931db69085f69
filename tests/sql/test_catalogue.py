"""The catalogue of SQL models: what it finds, what it refuses and in which words, and what a build does with it."""

from pathlib import Path

import pytest

import sql
from sql.catalogue import SCHEMAS, BrokenModel, models_in_order, read_model
from sql.making_tables import BuildFailed, make_tables
from tests.sql.clubs import a_club

SQL = Path(sql.__file__).parent
LOOKS_AT_COMMENTS = True

WHOLE = """-- Words by list.
-- grain: word
-- columns:
--   word: the word as it stands in a log
--   list: the column whose words these are
-- checks:
--   stop: list is not null
select word, list from core.words
"""


def a_model(text: str, schema: str = "report"):
    return read_model(schema, "planted", text)


def test_a_model_is_what_its_file_says():
    model = a_model(WHOLE)

    assert model.table == "report.planted"
    assert model.about == "Words by list."
    assert model.grain == ("word",)
    assert list(model.columns) == ["word", "list"]
    assert [(check.severity, check.condition) for check in model.checks] == [("stop", "list is not null")]
    assert model.reads == {"core.words"}


@pytest.mark.parametrize(
    ("part", "instead", "sentence"),
    [
        (WHOLE, "select 1 as word", "the file must begin with a comment header"),
        ("-- Words by list.\n", "", "the header says nothing under about"),
        ("-- grain: word\n", "", "the header says nothing under grain"),
        ("-- grain: word\n", "-- grain: word, week\n", "the grain names week, which the header has no column for"),
        ("list: the column whose words these are", "list", "expected 'column: meaning' in the header, saw 'list'"),
        ("stop: list", "halt: list", "expected 'stop: condition' or 'warn: condition' in the header, saw 'halt: list"),
        ("stop: list is not null", "stop:", "expected 'stop: condition' or 'warn: condition'"),
        ("core.words", "words", "name the schema of words"),
        ("core.words", "core.words; select 1", "expected one select, saw 2 statements"),
        ("select word, list from core.words", "drop table core.words", "Only SELECT statements"),
        ("select word", "selct word", "syntax error"),
    ],
)
def test_a_file_that_breaks_the_house_rules_is_refused_by_name(part, instead, sentence):
    assert part in WHOLE

    with pytest.raises(BrokenModel) as refusal:
        a_model(WHOLE.replace(part, instead))

    assert str(refusal.value).startswith("report.planted: ")
    assert sentence in str(refusal.value)


def test_a_common_table_expression_named_like_a_model_hides_no_dependency():
    model = a_model(WHOLE.replace("select word", "with words as (select * from core.words)\nselect word"))

    assert model.reads == {"core.words"}


def plant(root: Path, severity: str = "warn", **queries: str) -> Path:
    """Model files of one column each, `schema__name=query`."""
    header = f"-- A thing.\n-- grain: x\n-- columns:\n--   x: a thing\n-- checks:\n--   {severity}: x < 3\n"
    for name, query in queries.items():
        file = root / f"{name.replace('__', '/')}.sql"
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(header + query)
    return root


@pytest.mark.parametrize(
    ("queries", "sentence"),
    [
        ({"report__a": "select x from log.b"}, "report.a reads log.b: a model of report may not read log."),
        ({"core__a": "select x from report.b"}, "core.a reads report.b: a model of core may not read report."),
        ({"core__a": "select x from main.b"}, "core.a reads main.b: a model of core may not read main."),
        ({"report__a": "select x from core.b"}, "report.a reads core.b, and there is no such model."),
        (
            {"core__a": "select x from core.b", "core__b": "select x from core.a"},
            "these models read each other in a circle: core.a -> core.b -> core.a",
        ),
    ],
)
def test_a_model_that_reads_what_it_may_not_is_refused(tmp_path, queries, sentence):
    with pytest.raises(BrokenModel) as refusal:
        models_in_order(plant(tmp_path, **queries))

    assert str(refusal.value) == sentence


def test_each_model_comes_after_those_that_it_reads():
    seen: set[str] = set()
    for model in models_in_order():
        assert {read for read in model.reads if not read.startswith("log.")} <= seen
        seen.add(model.table)


def test_every_model_and_every_column_says_what_it_is():
    models = models_in_order()

    found = {f"{schema}.{file.stem}" for schema in SCHEMAS for file in (SQL / schema).glob("*.sql")}

    assert {model.table for model in models} == found
    assert all(model.about.endswith((".", "?")) for model in models)
    assert all(meaning for model in models for meaning in model.columns.values())


@pytest.mark.parametrize(
    ("query", "sentence"),
    [
        ("select 1 as x, 2 as y", "core.a: its header names ['x'], its query gives ['x', 'y']."),
        ("select 1 as y", 'core.a: Binder Error: Referenced column "x" not found'),
        ("select 1 as x union all select 1 as x", "core.a: more than one row for x: [(1,)]"),
        ("select cast(null as integer) as x", "core.a: an empty key in x: [(None,)]"),
        ("select z as x from log.words", "core.a: Binder Error"),
    ],
)
def test_a_model_that_breaks_its_header_fails_the_build(tmp_path, query, sentence):
    with a_club() as club, pytest.raises(BuildFailed) as failure:
        make_tables(club.connection, models_in_order(plant(tmp_path, core__a=query)))

    assert str(failure.value).startswith(sentence)


def test_a_broken_check_that_warns_is_told(tmp_path):
    files = plant(tmp_path, "warn", core__a="select unnest([1, 3, 4]) as x")

    with a_club() as club:
        warnings = make_tables(club.connection, models_in_order(files))

    assert warnings == ("core.a: expected x < 3; not so for x = [(3,), (4,)]",)


def test_a_broken_check_that_stops_fails_the_build(tmp_path):
    files = plant(tmp_path, "stop", core__a="select unnest([1, 3, 4]) as x")

    with a_club() as club, pytest.raises(BuildFailed, match=r"core\.a: expected x < 3; not so for x = "):
        make_tables(club.connection, models_in_order(files))


def test_headers_become_the_comments_of_the_database():
    with a_club() as club:
        club.build()
        tables = club.rows("duckdb_tables()", "schema_name || '.' || table_name as name, comment")
        columns = club.rows("duckdb_columns()", "schema_name || '.' || table_name as name, column_name, comment")

    said = {row["name"]: row["comment"] for row in tables}
    said_of_columns = {(row["name"], row["column_name"]): row["comment"] for row in columns}
    for model in models_in_order():
        assert said[model.table] == model.about
        for column, meaning in model.columns.items():
            assert said_of_columns[model.table, column] == meaning
