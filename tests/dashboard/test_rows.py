"""Rows of a type: what an answer must be to become them, told in a sentence where it is not."""

from dataclasses import dataclass
from datetime import date

import polars as pl
import pytest

from dashboard.rows.building import NotTheseRows, Words, frame_of, rows
from models.words import COVERAGE_DIMENSIONS, DIMENSION


@dataclass(frozen=True, slots=True)
class MetRow:
    """What was met on a day: so many balls, and the share of 1 of them that was good."""

    day: date
    balls: int
    rate: float | None


@dataclass(frozen=True, slots=True)
class WantedRow:
    """A wanted combination."""

    words: Words
    balls: int


MET = pl.DataFrame({"rate": [0.5, None], "balls": [40, 9], "day": [date(2026, 11, 2), date(2026, 11, 3)]})


def test_an_answer_becomes_rows_whatever_the_order_of_its_columns() -> None:
    assert rows(MET, MetRow) == (MetRow(date(2026, 11, 2), 40, 0.5), MetRow(date(2026, 11, 3), 9, None))
    assert rows(MET.clear(), MetRow) == ()


@pytest.mark.parametrize(
    ("answer", "told"),
    [
        (MET.drop("day"), r"MetRow: an answer lacks the columns \['day'\], and has \[\] beyond its own"),
        (MET.with_columns(good=1), r"lacks the columns \[\], and has \['good'\] beyond its own"),
        (MET.cast({"balls": pl.Float64}), "MetRow: balls is Float64 in an answer, expected int"),
        (MET.cast({"day": pl.String}), "day is String in an answer, expected date"),
        (MET.with_columns(balls=pl.lit(None, pl.Int64)), "MetRow: balls may not be empty, and is in an answer"),
    ],
    ids=["a column lacks", "one is beyond", "a whole number is none", "a day is a text", "empty where it may not be"],
)
def test_an_answer_of_another_kind_is_told_by_its_type_and_column(answer: pl.DataFrame, told: str) -> None:
    with pytest.raises(NotTheseRows, match=told):
        rows(answer, MetRow)


def test_the_dimensions_of_a_combination_are_gathered_in_the_order_of_the_words() -> None:
    answer = pl.DataFrame({"balls": [4], **{words.name: [words.names[0]] for words in COVERAGE_DIMENSIONS[::-1]}})
    answer = answer.with_columns(side=pl.lit(None, pl.String))

    (row,) = rows(answer, WantedRow)

    assert list(row.words) == list(DIMENSION.names)
    assert (row.words["depth"], row.words["side"]) == ("back", None)


def test_rows_as_a_frame_keep_the_kinds_of_their_columns_even_without_a_row() -> None:
    again = frame_of(rows(MET, MetRow), MetRow)

    assert again.equals(MET.select("day", "balls", "rate"))
    assert frame_of((), MetRow).schema == again.schema
