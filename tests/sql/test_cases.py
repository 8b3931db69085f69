"""Every model against the cases in tests/sql/cases, which say in words what they show."""

from collections.abc import Iterator

import duckdb
import pytest

from sql.catalogue import models_in_order
from tests.sql.cases import Case, actual_rows, all_cases, expected_rows
from tests.sql.clubs import a_club, nearly

MODELS = {model.table: model for model in models_in_order()}
EVERY_CASE = tuple(all_cases())


@pytest.fixture(scope="module")
def empty_club() -> Iterator[duckdb.DuckDBPyConnection]:
    with a_club() as club:
        yield club.build().connection


@pytest.mark.parametrize("case", EVERY_CASE, ids=lambda case: f"{case.model}: {case.sentence}")
def test_a_model_gives_the_rows_of_its_case(empty_club, case: Case):
    expected = expected_rows(empty_club, case)

    actual = actual_rows(empty_club, MODELS[case.model], case)

    assert expected == nearly(expected, actual, 1e-6)


def test_every_model_has_a_case_that_gives_rows():
    with_rows = {case.model for case in EVERY_CASE if case.expected.rows}

    assert set(MODELS) == with_rows


@pytest.mark.parametrize("case", EVERY_CASE, ids=lambda case: f"{case.model}: {case.sentence}")
def test_a_case_gives_only_tables_that_its_model_reads(case: Case):
    """A table that the model does not read could say anything."""
    assert set(case.given) <= MODELS[case.model].reads
