"""A CSV file that is read by columns is read as the strict reader reads it: the same cells, lines and refusals."""

from collections.abc import Iterator
from pathlib import Path
from unittest.mock import patch

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ingest.csv_at_once import cells_at_once
from ingest.csv_text import read_csv
from ingest.grid import Grid
from ingest.problems import Unreadable
from tests.ingest.log_files import HEADER, SESSIONS, sessions
from tests.proofs import examples

LOGS = sorted((Path(__file__).parents[2] / "demo_data" / "logs").glob("*.csv"))

SIGNS = st.sampled_from(
    ['"', '""', ",", ";", "\t", "\n", "\r\n", "\r", " ", "\u00a0", "\u200b", "\x0b", "\x85", "\u2028"]
)
PARTS = st.one_of(
    SIGNS, st.sampled_from(["backspin", "P01", "Ä", "0,5", "'", "#", '"a"', '"a,b"', '"a""b"', '"a\nb"', "\\"])
)
TEXTS = st.lists(PARTS, max_size=30).map("".join)


def outcome(content: bytes) -> Grid | str:
    try:
        return read_csv("week12.csv", content)
    except Unreadable as refused:
        return str(refused)


def strict_outcome(content: bytes) -> Grid | str:
    with patch("ingest.csv_text.cells_at_once", return_value=None):
        return outcome(content)


def assert_same(content: bytes) -> None:
    found, expected = outcome(content), strict_outcome(content)
    if isinstance(found, Grid) and isinstance(expected, Grid):
        assert found.cells.equals(expected.cells)
        assert found.cells.schema == expected.cells.schema
        assert (found.header, found.header_line, found.separator) == (
            *(expected.header, expected.header_line),
            expected.separator,
        )
    else:
        assert found == expected


@settings(max_examples=examples(60, 400))
@given(st.sampled_from([",", ";", "\t"]), TEXTS, TEXTS)
def test_any_text_below_a_header_is_read_as_the_strict_reader_reads_it(separator: str, above: str, below: str) -> None:
    assert_same((above + separator.join(HEADER) + "\n" + below).encode())


@settings(max_examples=examples(40, 200))
@given(st.sampled_from([",", ";", "\t"]), st.sampled_from(["\n", "\r\n", "\r"]), st.integers(0, 400), PARTS)
def test_a_log_with_a_stray_sign_is_read_as_the_strict_reader_reads_it(
    separator: str, line_end: str, place: int, stray: str
) -> None:
    text = sessions(separator=separator, line_end=line_end, coach=["M. Roe", '"Roe, M."', "", " "])
    at = place % (len(text) + 1)

    assert_same((text[:at] + stray + text[at:]).encode())


@pytest.mark.parametrize("log", LOGS, ids=lambda log: log.stem)
def test_the_demo_logs_are_read_as_the_strict_reader_reads_them(log: Path) -> None:
    assert_same(log.read_bytes())


TAKEN = {
    "plain": SESSIONS,
    "with a byte more on every line end": SESSIONS.replace("\n", "\r\n"),
    "without an end of the last line": SESSIONS.rstrip("\n"),
    "with quoted cells": SESSIONS.replace("P01", '"P01"'),
    "with a separator and a quote in a quoted cell": SESSIONS.replace("P01", '"P""0,1"'),
    "with empty lines": SESSIONS + "\n\n",
    "with lines that are too short": SESSIONS + "2026-03-02,P01\n",
    "with separators behind the last column": SESSIONS.replace("\n", ",,,\n"),
}
LEFT_TO_THE_STRICT_READER = {
    "a cell of several lines": SESSIONS.replace("P01", '"P\n01"'),
    "a quote within a cell": SESSIONS.replace("P01", 'P"01'),
    "a quote that is not closed": SESSIONS.replace("P01", '"P01'),
    "a quote that is closed within a cell": SESSIONS.replace("P01", '"P"01'),
    "a carriage return alone": SESSIONS.replace("short", "short\r"),
    "a line much wider than the header": SESSIONS.replace("29", "29" + 30 * ","),
    "a line that is wider than those at the top": SESSIONS + 20_000 * "a,b,c,d,e,f,g\n" + "a,b,c,d,e,f,g,h,i\n",
}


@pytest.fixture
def taken() -> Iterator[list[bool]]:
    """Whether each file that was read was taken by columns."""
    seen: list[bool] = []

    def watched(*arguments: object) -> object:
        cells = cells_at_once(*arguments)  # type: ignore[arg-type]
        seen.append(cells is not None)
        return cells

    with patch("ingest.csv_text.cells_at_once", watched):
        yield seen


@pytest.mark.parametrize("text", TAKEN.values(), ids=TAKEN.keys())
def test_what_every_reader_agrees_on_is_taken_by_columns(text: str, taken: list[bool]) -> None:
    outcome(text.encode())

    assert taken == [True]
    assert_same(text.encode())


@pytest.mark.parametrize("text", LEFT_TO_THE_STRICT_READER.values(), ids=LEFT_TO_THE_STRICT_READER.keys())
def test_anything_else_is_left_to_the_strict_reader(text: str, taken: list[bool]) -> None:
    outcome(text.encode())

    assert taken == [False]
    assert_same(text.encode())
