"""The kind of a log is told by its columns."""

import pytest

from ingest.reading import read_log
from models.records import RECORDS, columns_of
from tests.ingest.log_files import SESSIONS, filled, why_unreadable


def required(kind):
    return [column.name for column in columns_of(RECORDS[kind]) if column.is_required]


def log_of(columns):
    return (",".join(columns) + "\n" + ",".join("x" for _ in columns) + "\n").encode()


@pytest.mark.parametrize("kind", RECORDS)
def test_the_required_columns_of_a_kind_tell_the_kind(kind):
    assert read_log("log.csv", log_of(required(kind))).taken.kind == kind


@pytest.mark.parametrize("kind", RECORDS)
def test_all_columns_of_a_kind_in_any_order_are_put_in_the_order_of_its_record(kind):
    names = [column.name for column in columns_of(RECORDS[kind])]

    reading = read_log("log.csv", log_of(list(reversed(names))))

    assert reading.lines.columns == ["line", *names, "mends"]
    assert reading.header == tuple(reversed(names))
    assert list(filled(reading)[0]) == names


@pytest.mark.parametrize(("kind", "gone"), [(kind, name) for kind in RECORDS for name in required(kind)])
def test_a_missing_required_column_is_named(kind, gone):
    columns = [name for name in required(kind) if name != gone]

    sentence = why_unreadable(log_of(columns), kind=kind)

    assert f"without {gone}" in sentence
    assert f"add the column {gone}" in sentence


def test_a_misspelt_column_is_to_be_renamed():
    sentence = why_unreadable(SESSIONS.replace("length", "lenght").encode())

    assert "the sessions log" in sentence
    assert "rename the column lenght to length" in sentence


def test_a_log_of_balls_that_lacks_its_outcome_is_told_so_and_not_that_it_lacks_counts():
    columns = [name for name in required("balls") if name != "outcome"]

    assert "without outcome, expected every required column of the balls log" in why_unreadable(log_of(columns))


def test_a_table_that_is_two_kinds_at_once_is_refused_unless_the_user_says_which():
    both = log_of([*required("sessions"), "ball", "outcome"])

    assert "the columns of the logs sessions and balls in one table" in why_unreadable(both)
    assert read_log("log.csv", both, kind="balls").taken.kind == "balls"


def test_a_column_that_stands_twice_is_refused_with_both_spellings():
    sentence = why_unreadable(log_of([*required("sessions"), "Tempo BPM", "tempo-bpm"]))

    assert "column tempo_bpm" in sentence
    assert "'Tempo BPM' and 'tempo-bpm'" in sentence


def test_an_unknown_column_may_stand_twice():
    reading = read_log("log.csv", log_of([*required("players"), "Remarks", "Remarks"]))

    assert reading.taken.ignored_columns == ("Remarks", "Remarks")


def test_a_data_line_full_of_words_that_are_also_column_names_is_not_taken_for_the_header():
    """long, block, good, net and wide are words of a cell as well as names of columns."""
    content = (
        b"session_date,player,setup,spin,length,stroke,ball,outcome\n2026-03-02,player,setup,spin,long,block,1,good\n"
    )

    assert read_log("log.csv", content).taken.header_line == 1
