"""Cells that a spreadsheet would run as formulas leave harmless, numbers leave as numbers, and all can come back."""

import csv
import io

import polars as pl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ingest.csv_out import as_typed, csv_text, harmless, harmless_texts

TEXTS = st.text(st.sampled_from("=+-@＝＋－＠\t\r\n ;'\u00a0\ufeffab1.,\""))


@pytest.mark.parametrize("beginning", ["=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠"])
def test_what_owasp_names_gets_an_apostrophe(beginning: str) -> None:
    """OWASP, "CSV Injection"; ASVS 5.0, requirement 1.2.10, which names = + - @ and the tab."""
    assert harmless(f"{beginning}SUM(1)") == f"'{beginning}SUM(1)"


@pytest.mark.parametrize("number", ["-20", "+5", "-1.5", "-1,5", "+.5", "0"])
def test_a_number_stays_a_number(number: str) -> None:
    assert harmless(number) == number


@pytest.mark.parametrize("text", ["", "a note", "a=b", "2026-03-02", "no - not now", "P-1", "ada@example.org", "it's"])
def test_ordinary_text_stays_as_it_is(text: str) -> None:
    assert harmless(text) == text


@pytest.mark.parametrize("text", ["x;=1+1", "x\n@sum(1)", "x\t +1+1"])
def test_a_cell_hides_no_formula_from_a_spreadsheet_that_separates_by_other_signs(text: str) -> None:
    """OWASP on field separators: a new cell may begin in the middle of the text."""
    for separator in ";\t\n\r":
        assert not any(cell.strip().startswith(("=", "+", "@")) for cell in harmless(text).split(separator))


@given(TEXTS)
def test_what_was_made_harmless_can_be_read_back_as_typed(text: str) -> None:
    frame = pl.DataFrame({"cell": [harmless(text)]})

    assert frame.select(as_typed(pl.col("cell"))).item() == text


@given(st.lists(TEXTS, min_size=1))
def test_the_cells_of_an_answer_become_what_each_becomes_alone(texts: list[str]) -> None:
    answer = harmless_texts(pl.DataFrame({"=cell": texts, "count": list(range(len(texts)))}))

    assert answer["'=cell"].to_list() == [harmless(text) for text in texts]
    assert answer["count"].to_list() == list(range(len(texts)))


def test_rows_are_written_as_rfc_4180_has_it() -> None:
    """RFC 4180, 2.5 to 2.7: quotes around a comma, a quote and a line break; a quote within is doubled."""
    text = csv_text([["a", 'b"c', "d,e"], ["=1", "-2", "f\r\ng"]])

    assert text == 'a,"b""c","d,e"\r\n\'=1,-2,"f\r\ng"\r\n'
    assert list(csv.reader(io.StringIO(text, newline="")))[1] == ["'=1", "-2", "f\r\ng"]
