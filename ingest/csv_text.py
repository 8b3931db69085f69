"""From the bytes of a text file to its grid: encoding, separator, quotes, line breaks."""

import csv
import re
from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from itertools import islice, zip_longest

import polars as pl

from ingest.bounds import MOST_BYTES, MOST_LINES, MOST_TITLE_LINES
from ingest.csv_at_once import cells_at_once
from ingest.encoding import decoded
from ingest.foreign import refuse_foreign_text
from ingest.grid import Grid, is_blank, refuse_too_many_columns, refuse_too_many_lines, without_trailing_blanks
from ingest.kinds import HeaderLine, header_line, no_header
from ingest.problems import Unreadable, shortened, unreadable

SEPARATORS = {",": "comma", ";": "semicolon", "\t": "tab"}
SIGNS = {name: sign for sign, name in SEPARATORS.items()}
_SAID_SEPARATOR = re.compile(r'"?sep=(.)"?[\r\n]', re.IGNORECASE)
FEWEST_CELLS_SWALLOWED = 6
"""Fewer separators than between so many cells may stand on one line of a note."""

# The reader's own limit would be told as quotes that do not match; LONGEST_CELL is ours, and says what it is about.
csv.field_size_limit(MOST_BYTES)

_LINE = re.compile(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+")
"""A line with its end. Found one after another, for the top of a long file is asked for first."""

_Row = tuple[int, Sequence[str]]


class _QuotesError(Exception):
    """The quotes of a text do not match; `line` is where the row begins that shows it."""

    def __init__(self, line: int) -> None:
        super().__init__(line)
        self.line = line


def read_csv(file_name: str, content: bytes) -> Grid:
    """The grid of a CSV file. Raises Unreadable where the bytes are no text, or the text is no table of a log."""
    text, encoding = decoded(file_name, content)
    refuse_foreign_text(file_name, text)
    try:
        separator, header = _separator_and_header(file_name, text)
        cells = _cells(file_name, text, separator, header)
    except _QuotesError as error:
        raise _broken_quotes(file_name, error.line) from error
    return Grid(file_name, "csv", header.line, header.cells, cells, encoding, SEPARATORS[separator])


def _cells(file_name: str, text: str, separator: str, header: HeaderLine) -> pl.DataFrame:
    at_once = cells_at_once(text, separator, header)
    cells = _cells_below(header, _rows(text, separator)) if at_once is None else at_once
    refuse_too_many_lines(file_name, cells.height)
    refuse_too_many_columns(file_name, cells.width - 1)
    if at_once is None:
        _refuse_swallowed_lines(file_name, cells, separator, len(header.cells))
    return cells


def _separator_and_header(file_name: str, text: str) -> tuple[str, HeaderLine]:
    """The separator is the one that makes the most column names of a log; the count of signs would tell less."""
    candidates = [(separator, _header(text, separator)) for separator in _possible_separators(text)]
    found = [(separator, header) for separator, header in candidates if header]
    if not found:
        list(_top(text, ","))  # quotes that break above the header are the better reason: this raises it
        raise no_header(file_name, f"'{shortened(text.strip().splitlines()[0])}' at the top")
    return max(found, key=lambda candidate: candidate[1].known)


def _possible_separators(text: str) -> list[str]:
    declared = _SAID_SEPARATOR.match(text)
    return [declared[1]] if declared and declared[1] in SEPARATORS else list(SEPARATORS)


def _header(text: str, separator: str) -> HeaderLine | None:
    def rows_until_quotes_break() -> Iterator[_Row]:
        with suppress(_QuotesError):
            yield from _top(text, separator)

    return header_line(rows_until_quotes_break())


def _top(text: str, separator: str) -> Iterator[_Row]:
    return islice(_rows(text, separator), 10 * MOST_TITLE_LINES)


def _rows(text: str, separator: str) -> Iterator[_Row]:
    """Every row with the line on which it begins. Strict, because a quote that is not closed would swallow lines."""
    reader = csv.reader((found[0] for found in _LINE.finditer(text)), delimiter=separator, strict=True)
    line = 1
    try:
        for cells in reader:
            # A tuple of texts costs the garbage collector nothing; half a million lists would be walked over and over.
            yield line, tuple(cells)
            line = reader.line_num + 1
    except csv.Error as error:
        raise _QuotesError(line) from error


def _broken_quotes(file_name: str, line: int) -> Unreadable:
    return unreadable(
        file_name,
        seen=f"quotes that do not match, from line {line} on",
        expected='a quoted cell to end with a quote before a separator, and a quote within it to be doubled ("")',
        to_do=f"look at line {line}: close the quote, double it or take it away; nothing of the file was taken",
    )


def _refuse_swallowed_lines(file_name: str, cells: pl.DataFrame, separator: str, width: int) -> None:
    """Two stray quotes may make a well-formed cell of all the lines between them: whole lines of the log within it."""
    whole_line = rf"[\r\n](?:[^\r\n]*{separator}){{{max(width, FEWEST_CELLS_SWALLOWED) - 1}}}"
    swallowing = cells.filter(pl.any_horizontal(pl.exclude("line").str.contains(whole_line)))["line"]
    if len(swallowing):
        raise _broken_quotes(file_name, swallowing[0])


def _cells_below(header: HeaderLine, rows: Iterable[_Row]) -> pl.DataFrame:
    """One line more than a file may have shows that it is too long."""
    below = ((line, cells) for line, cells in rows if line > header.line and not all(map(is_blank, cells)))
    width = len(header.cells)
    kept = [(line, without_trailing_blanks(cells, width)) for line, cells in islice(below, MOST_LINES + 1)]
    lines = pl.Series("line", [line for line, _ in kept], dtype=pl.Int64)
    columns = zip_longest(header.cells, *(cells for _, cells in kept), fillvalue="")
    return pl.DataFrame([lines, *(pl.Series(f"c{i}", cells[1:], dtype=pl.String) for i, cells in enumerate(columns))])
