"""From the bytes of an .xlsx workbook to the grid of its first sheet that holds a log."""

import io
import logging
import re
import zipfile
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Sequence
from xml.parsers import expat

import fastexcel
import polars as pl

from ingest.bounds import MOST_COLUMNS, MOST_TITLE_LINES, MOST_UNPACKED_BYTES, MOST_WORKBOOK_ROWS, MOST_WORKBOOK_TEXT
from ingest.foreign import refuse_foreign_package
from ingest.grid import Grid, first_content, is_blank
from ingest.kinds import HeaderLine, header_line, no_header
from ingest.problems import Unreadable, unreadable
from ingest.sheet_size import DTD_BEGINS, has_far_cell, shown_bytes
from models.shapes import BLANKS

PACKAGE_BEGINS = (b"PK\x03\x04", b"PK\x05\x06")

# The reader warns of things that are no fault, such as a sheet that holds only a chart.
logging.getLogger("calamine").addHandler(logging.NullHandler())

_TRUE_DATE = r"^([0-9]{4}-[0-9]{2}-[0-9]{2}) 00:00:00$"
# A time of day is counted from the day zero of the workbook; there are two kinds of workbooks.
_TRUE_TIME = r"^(?:1899-12-3[01]|1904-01-01) ([0-9]{2}:[0-9]{2}):00$"
_ERRORS = {
    "Div0": "#DIV/0!",
    "NA": "#N/A",
    "Name": "#NAME?",
    "Null": "#NULL!",
    "Num": "#NUM!",
    "Ref": "#REF!",
    "Value": "#VALUE!",
}


def read_workbook(file_name: str, content: bytes) -> Grid:
    """The grid of the first visible sheet with the header of a log. Raises Unreadable where there is none."""
    parts = _unpacked(file_name, content)
    _refuse_swelling(file_name, parts.values())
    try:
        return _first_log(file_name, fastexcel.read_excel(_packed_again(parts)))
    except fastexcel.FastExcelError as error:
        raise _damaged(file_name) from error


def _unpacked(file_name: str, content: bytes) -> dict[str, bytes]:
    """The XML parts of the package by name; pictures, macros and the like are left packed."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as package:
            refuse_foreign_package(file_name, package.namelist())
            parts = [part for part in package.infolist() if part.filename.lower().endswith((".xml", ".rels"))]
            _refuse_bomb(file_name, sum(part.file_size for part in parts))
            return {part.filename: package.read(part) for part in parts}
    except Unreadable:
        raise
    except Exception as error:  # a damaged package makes zipfile raise a dozen kinds of errors
        raise _damaged(file_name) from error


def _packed_again(parts: dict[str, bytes]) -> bytes:
    """A package of exactly the bytes that were looked at: the sizes that the first one declared may be lies."""
    package = io.BytesIO()
    with zipfile.ZipFile(package, "w", zipfile.ZIP_STORED) as writer:
        for name, part in parts.items():
            writer.writestr(name, part)
    return package.getvalue()


def _refuse_bomb(file_name: str, unpacked_bytes: int) -> None:
    if unpacked_bytes > MOST_UNPACKED_BYTES:
        raise _too_large(file_name, f"a workbook that unpacks to {unpacked_bytes // 1_000_000} MB")


def _refuse_swelling(file_name: str, parts: Collection[bytes]) -> None:
    """Raises Unreadable where the parts would take far more room in memory than in the file."""
    if any(DTD_BEGINS in part for part in parts):
        raise _damaged(file_name)
    try:
        is_far = any(has_far_cell(part) for part in parts)
    except expat.ExpatError as error:
        raise _damaged(file_name) from error
    if is_far:
        raise _too_large(file_name, f"a cell below row {MOST_WORKBOOK_ROWS} or right of column {MOST_COLUMNS}")
    if shown_bytes(parts, MOST_WORKBOOK_TEXT) >= MOST_WORKBOOK_TEXT:
        raise _too_large(file_name, "a workbook that shows very long texts in very many cells")


def _too_large(file_name: str, seen: str) -> Unreadable:
    return unreadable(
        file_name,
        seen=seen,
        expected=f"a sheet of at most {MOST_WORKBOOK_ROWS} rows and {MOST_COLUMNS} columns",
        to_do="delete what does not belong to the log, or save the sheet as CSV and load that",
    )


def _damaged(file_name: str) -> Unreadable:
    return unreadable(
        file_name,
        seen="a workbook that is damaged, cut short or locked",
        expected="a whole .xlsx workbook without a password",
        to_do="open it in a spreadsheet program, save it again as .xlsx or CSV, and load that",
    )


def _first_log(file_name: str, workbook: fastexcel.ExcelReader) -> Grid:
    for name, cells in _visible_sheets(workbook):
        header = header_line(
            cells.head(10 * MOST_TITLE_LINES).select("line", pl.concat_list(pl.exclude("line"))).rows()
        )
        if header:
            others = tuple(other for other in workbook.sheet_names if other != name)
            return _grid(file_name, name, others, header, cells)
    raise no_header(file_name, f"a workbook with the sheets {', '.join(workbook.sheet_names)}")


def _visible_sheets(workbook: fastexcel.ExcelReader) -> Iterator[tuple[str, pl.DataFrame]]:
    for name in workbook.sheet_names:
        sheet = workbook.load_sheet(name, header_row=None, skip_rows=0, dtypes="string")
        if sheet.visible == "visible" and sheet.width and sheet.height:
            yield name, _cells(sheet)


def _cells(sheet: fastexcel.ExcelSheet) -> pl.DataFrame:
    """All rows of a sheet as texts: `line` from 1, then c0, c1, ... from the first column that is used."""
    batch, errors = sheet.to_arrow_with_errors()
    cells = pl.DataFrame(batch)
    cells.columns = [f"c{place}" for place in range(cells.width)]
    cells = _with_errors(cells, errors.errors if errors else [])
    return cells.select(pl.int_range(1, pl.len() + 1, dtype=pl.Int64).alias("line"), pl.all().fill_null(""))


def _with_errors(cells: pl.DataFrame, errors: Iterable[fastexcel.CellError]) -> pl.DataFrame:
    """An error such as #DIV/0! arrives as an empty cell; it is written back, so that its line can be refused."""
    by_column: dict[int, dict[int, str]] = defaultdict(dict)
    for error in errors:
        row, column = error.position
        name = re.search(r"Error\((\w+)\)", error.detail)
        by_column[column][row] = _ERRORS.get(name[1], "#ERROR!") if name else "#ERROR!"
    mended = [cells[:, column].scatter(list(found), list(found.values())) for column, found in by_column.items()]
    return cells.with_columns(mended)


def _grid(file_name: str, sheet: str, others: tuple[str, ...], header: HeaderLine, cells: pl.DataFrame) -> Grid:
    names = (*header.cells, *[""] * (cells.width - 1 - len(header.cells)))
    below = _lines(cells.filter(pl.col("line") > header.line), names)
    kept = [place for place, name in enumerate(names) if not is_blank(name) or first_content(below[f"c{place}"])]
    below = below.select("line", *(pl.col(f"c{place}").alias(f"c{new}") for new, place in enumerate(kept)))
    is_date = pl.exclude("line").str.contains(_TRUE_DATE)
    texts = pl.exclude("line").str.replace(_TRUE_DATE, "$1").str.replace(_TRUE_TIME, "$1")
    return Grid(
        file_name,
        "xlsx",
        header.line,
        tuple(names[place] for place in kept),
        below.with_columns(texts),
        sheet=sheet,
        unread_sheets=others,
        has_true_dates=below.select(pl.any_horizontal(is_date.any())).item(),
    )


def _lines(cells: pl.DataFrame, names: Sequence[str]) -> pl.DataFrame:
    """Rows with something under a name: in a sheet, remarks and legends stand beside the table and below it."""
    named = [f"c{place}" for place, name in enumerate(names) if not is_blank(name)]
    return cells.filter(pl.any_horizontal(pl.col(named).str.strip_chars(BLANKS) != ""))
