"""The lines of a CSV file by columns, where that is provably what the strict reader would read line by line.

Without quotes a row is a line and a cell ends at a separator: every reader agrees. The same holds where every quote
opens or closes a cell on its own line, or is doubled between two that do. Everything else is left to the strict reader.
"""

import re

import polars as pl

from ingest.kinds import HeaderLine
from models.shapes import BLANKS

_LINE_END = re.compile(r"\r\n|\r|\n")
_SEEN_FIRST = 100_000
"""So much of a text tells how many cells its widest line has; where that is wrong, nothing is taken."""

_MOST_SURPLUS = 20
"""Spreadsheets write some separators behind the last column, too; columns of many more would fill the memory."""


def cells_at_once(text: str, separator: str, header: HeaderLine) -> pl.DataFrame | None:
    """What stands below the header: `line`, then c0, c1, ...; None where only the strict reader can tell."""
    if any(sign in cell for cell in header.cells for sign in "\r\n"):
        return None
    body = _below(text, header.line).replace("\r\n", "\n")
    if "\r" in body or ('"' in body and not _is_quoted_line_by_line(body, separator)):
        return None
    cells = _split(body, separator, len(header.cells))
    if cells is None or cells.height != body.count("\n") + (not body.endswith("\n")):
        return None
    lines = pl.int_range(header.line + 1, header.line + 1 + pl.len(), dtype=pl.Int64).alias("line")
    return _without_blanks(cells.select(lines, pl.all().fill_null("")), len(header.cells))


def _below(text: str, line: int) -> str:
    end = 0
    for _ in range(line):
        found = _LINE_END.search(text, end)
        if not found:
            return ""
        end = found.end()
    return text[end:]


def _is_quoted_line_by_line(body: str, separator: str) -> bool:
    cell = rf'(?:"(?:[^"]|"")*"|[^"{separator}]*)'
    lines = pl.Series([body]).str.split("\n").explode()
    quoted = lines.filter(lines.str.contains('"', literal=True))
    return quoted.str.contains(rf"^{cell}(?:{separator}{cell})*$").all()


def _split(body: str, separator: str, width: int) -> pl.DataFrame | None:
    widest = max(line.count(separator) + 1 for line in body[:_SEEN_FIRST].split("\n"))
    if widest > width + _MOST_SURPLUS:
        return None
    names = separator.join(f"c{place}" for place in range(max(widest, width) + 1))
    try:
        return pl.read_csv(
            f"{names}\n{body}".encode(),
            separator=separator,
            quote_char='"' if '"' in body else None,
            infer_schema=False,
            empty_string_is_null=False,
        )
    except pl.exceptions.ComputeError:  # Some line has more cells than there are places.
        return None


def _without_blanks(cells: pl.DataFrame, width: int) -> pl.DataFrame:
    """Lines in which nothing stands are none, nor are blank cells at the end of a line with more than the header."""
    ends = pl.Series([True]).new_from_index(0, cells.height)
    for name in reversed(cells.columns[1 + width :]):
        ends &= cells[name].str.strip_chars(BLANKS) == ""
        cells = cells.with_columns(pl.when(ends).then(pl.lit("")).otherwise(name).alias(name))
    if (cells["c0"].str.strip_chars(BLANKS) == "").any():
        cells = cells.filter(pl.any_horizontal(pl.exclude("line").str.strip_chars(BLANKS) != ""))
    kept = [place for place, name in enumerate(cells.columns) if place <= width or (cells[name] != "").any()]
    return cells[:, : kept[-1] + 1]
