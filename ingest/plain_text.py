"""From cells as typed to plain texts: trimmed, dates as YYYY-MM-DD, decimals with a point.

A text that cannot be made plain stays as typed, so that its line is refused and not the file.
"""

from dataclasses import dataclass

import polars as pl

from ingest.dates import DateReading, plain_dates
from ingest.problems import unreadable
from models.records import Column
from models.shapes import BLANKS, Day, Number, WholeNumber

POINT, COMMA, NO_SIGN = "point", "comma", "none seen"

_WITH_POINT = r"^[+-]?[0-9]*\.[0-9]+$"
_WITH_COMMA = r"^[+-]?[0-9]*,[0-9]+$"
_MAYBE_THOUSANDS = r"^[+-]?[1-9][0-9]{0,2}(,[0-9]{3})+$"
"""1,250 may be one and a quarter or a thousand and more: no proof of a decimal comma, and never a whole number."""


@dataclass(frozen=True)
class Plain:
    """Plain texts, null where a cell is empty, and how the file writes decimals and dates."""

    lines: pl.DataFrame
    decimal_sign: str
    dates: DateReading


def plain_lines(
    file_name: str,
    lines: pl.DataFrame,
    columns: tuple[Column, ...],
    *,
    given_date_form: str | None,
    is_typed_text: bool,
) -> Plain:
    """Make the texts of all columns plain; `given_date_form` is the date form that the user named.

    `is_typed_text`: every number was typed, as in a CSV file, so that all must have the same decimal sign; the true
    numbers of a workbook have a point whatever sign its text cells have. Raises Unreadable where decimal signs are
    mixed or dates are uncertain.
    """
    lines = lines.with_columns(pl.col(pl.String).str.strip_chars(BLANKS).replace("", None))
    sign = _decimal_sign(file_name, lines.select(_names(columns, Number, WholeNumber)), is_typed_text)
    dates = plain_dates(file_name, _different_texts(lines.select(_names(columns, Day))), given_date_form)
    if sign == COMMA:
        lines = lines.with_columns(_with_point(columns))
    return Plain(lines.with_columns(pl.col(_names(columns, Day)).replace(dates.plain)), sign, dates)


def _names(columns: tuple[Column, ...], *shapes: type) -> list[str]:
    return [column.name for column in columns if isinstance(column.shape, shapes)]


def _different_texts(table: pl.DataFrame) -> list[str]:
    if not table.width:
        return []
    return pl.concat([column.alias("text") for column in table]).drop_nulls().unique(maintain_order=True).to_list()


def _decimal_sign(file_name: str, numbers: pl.DataFrame, is_typed_text: bool) -> str:
    texts = pl.Series("text", _different_texts(numbers), dtype=pl.String)
    points = texts.filter(texts.str.contains(_WITH_POINT))
    commas = texts.filter(texts.str.contains(_WITH_COMMA) & ~texts.str.contains(_MAYBE_THOUSANDS))
    if len(points) and len(commas) and is_typed_text:
        raise unreadable(
            file_name,
            seen=f"numbers with a decimal point and with a decimal comma: {points[0]} and {commas[0]}",
            expected="one decimal sign in a file, and no sign between thousands",
            to_do="write all numbers of the file the same way",
        )
    return COMMA if len(commas) else POINT if len(points) else NO_SIGN


def _with_point(columns: tuple[Column, ...]) -> list[pl.Expr]:
    decimals, whole = pl.col(_names(columns, Number)), pl.col(_names(columns, WholeNumber))
    is_plain_whole = whole.str.contains(_WITH_COMMA) & ~whole.str.contains(_MAYBE_THOUSANDS)
    return [
        pl.when(decimals.str.contains(_WITH_COMMA))
        .then(decimals.str.replace(",", ".", literal=True))
        .otherwise(decimals),
        pl.when(is_plain_whole).then(whole.str.replace(",", ".", literal=True)).otherwise(whole),
    ]
