"""CSV that leaves for people: a cell that a spreadsheet would run as a formula is made harmless.

The rule is OWASP's (the page "CSV Injection"; ASVS 5.0, requirement 1.2.10): a text that begins with = + - @, a tab or
a line break gets an apostrophe in front, which spreadsheets show as text. A number stays a number. The same is done
behind a semicolon, a tab and a line break within a text: where a spreadsheet separates by those, a cell begins there.

`as_typed` takes back exactly what `harmless` did: of a cell that came with its own apostrophes, one is taken.
"""

import csv
import io
import re
from collections.abc import Iterable

import polars as pl

_RUNS = "=+@＝＋－＠-"
"""What a formula begins with; the wide forms are what East Asian keyboards write."""

_BEFORE = " '\u00a0\u2007\u202f\ufeff\u200b"
"""Spreadsheets pass over blanks before a formula; apostrophes are passed over too, so that ours can be undone."""

_NUMBER = r"[+-]?([0-9]+([.,][0-9]*)?|[.,][0-9]+)"
_RUNNING = rf"(^|[;\t\r\n])([{_BEFORE}]*[{_RUNS}])"
_LEADING_BREAK = rf"^([{_BEFORE}]*[\t\r\n])"
_MADE_HARMLESS = rf"(^|[;\t\r\n])'([{_BEFORE}]*[{_RUNS}])"
_LEADING_BREAK_MADE_HARMLESS = rf"^'([{_BEFORE}]*[\t\r\n])"


def csv_text(rows: Iterable[Iterable[str]], separator: str = ",") -> str:
    """Rows as a CSV file for people (RFC 4180, but for the separator where another is asked), every cell harmless."""
    text = io.StringIO()
    writer = csv.writer(text, delimiter=separator, lineterminator="\r\n")
    writer.writerows([harmless(cell) for cell in row] for row in rows)
    return text.getvalue()


def harmless(cell: str) -> str:
    """The cell as a spreadsheet may open it."""
    if re.fullmatch(_NUMBER, cell):
        return cell
    return re.sub(_LEADING_BREAK, r"'\1", re.sub(_RUNNING, r"\1'\2", cell))


def as_typed(cells: pl.Expr) -> pl.Expr:
    """Texts as they were before `harmless`."""
    return cells.str.replace(_LEADING_BREAK_MADE_HARMLESS, "${1}").str.replace_all(_MADE_HARMLESS, "${1}${2}")


def harmless_texts(answer: pl.DataFrame) -> pl.DataFrame:
    """The answer with its texts, and the names of its columns, as a spreadsheet may open them."""
    text = pl.col(pl.String)
    made = text.str.replace_all(_RUNNING, "${1}'${2}").str.replace(_LEADING_BREAK, "'${1}")
    is_number = text.str.contains(rf"^(?:{_NUMBER})$")
    return answer.with_columns(pl.when(is_number).then(text).otherwise(made)).rename(harmless)
