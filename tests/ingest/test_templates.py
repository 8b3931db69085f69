"""Templates and open descriptors, held to the records they are derived from and to the open standard's own library."""

import csv
import io
from collections.abc import Callable

import frictionless
import pytest

from ingest.loading import Incoming, load
from ingest.templates import STARTER_TARGET, example_csv, explanation, table_schema, template_csv
from models.records import RECORDS, columns_of
from sql.folder import DataFolder
from sql.warehouse import ask
from tests.ingest.conftest import PLAYERS, TODAY, csv_file


@pytest.mark.parametrize("kind", list(RECORDS))
def test_a_descriptor_is_a_table_schema_by_the_standards_own_library(kind: str) -> None:
    """Frictionless Table Schema (specs.frictionlessdata.io/table-schema), checked by the library `frictionless`."""
    schema = frictionless.Schema.from_descriptor(table_schema(kind))

    assert schema.field_names == [column.name for column in columns_of(RECORDS[kind])]
    assert {field.name for field in schema.fields if field.required} == {
        column.name for column in columns_of(RECORDS[kind]) if column.is_required
    }


@pytest.mark.parametrize("kind", list(RECORDS))
@pytest.mark.parametrize("written", [template_csv, example_csv])
def test_a_template_and_its_example_keep_to_their_own_descriptor(kind: str, written: Callable[[str], str]) -> None:
    report = validated(kind, written(kind))

    assert report.valid, report.flatten(["rowNumber", "fieldName", "message"])


@pytest.mark.parametrize("kind", [kind for kind in RECORDS if kind != "targets"])
def test_nobody_and_nothing_stands_in_an_empty_file(kind: str) -> None:
    """Who drops it in as it is gets no invented player; an example stands with the explanation."""
    assert len(template_csv(kind).splitlines()) == 1
    assert example_csv(kind).splitlines()[1] in explanation(kind)


def validated(kind: str, text: str) -> frictionless.Report:
    rows = list(csv.reader(io.StringIO(text)))
    resource = frictionless.Resource(data=rows, schema=frictionless.Schema.from_descriptor(table_schema(kind)))
    return resource.validate()


@pytest.mark.parametrize(
    ("column", "cell"),
    [("spin", "bakspin"), ("balls", "0"), ("balls", "many"), ("session_date", "2026-02-31"), ("player", "")],
)
def test_the_descriptor_refuses_what_screening_refuses(column: str, cell: str) -> None:
    header, example = csv.reader(io.StringIO(example_csv("sessions")))
    faulty = [cell if name == column else value for name, value in zip(header, example, strict=True)]
    text = io.StringIO()
    csv.writer(text).writerows([header, faulty])

    assert not validated("sessions", text.getvalue()).valid


def test_the_target_template_can_be_loaded_as_it_is(empty_folder: DataFolder) -> None:
    files = [csv_file("players.csv", PLAYERS), Incoming("targets.csv", template_csv("targets").encode())]
    reports = load(empty_folder, files, "tester", today=TODAY)

    assert all(report.is_sound for report in reports)
    cells = 1
    for words in STARTER_TARGET:
        cells *= len(words.names)
    assert ask(empty_folder, "select count(*) from core.target_cells where player_id = 'P1'").item() == cells


def test_the_explanation_of_a_log_says_which_words_it_takes() -> None:
    text = explanation("sessions")

    assert "one of heavy_backspin, backspin, light_backspin" in text
    assert "| tempo_bpm |  | balls per minute (balls/min) | a number from 1 to 200 |" in text
