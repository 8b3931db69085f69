"""The table as it stands in a file, before anyone knows what its columns mean."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import polars as pl

from ingest.bounds import LONGEST_CELL, MOST_COLUMNS, MOST_LINES
from ingest.problems import unreadable
from models.shapes import BLANKS


@dataclass(frozen=True)
class Grid:
    """What stands below a header line, every cell as typed.

    `cells` has `line` (Int64: where the line begins, as an editor or the sheet numbers it) and c0, c1, ... (String, an
    empty cell is the empty text). A line may have more cells than the header; it never has fewer.
    """

    file_name: str
    file_form: str
    header_line: int
    header: tuple[str, ...]
    cells: pl.DataFrame
    encoding: str | None = None
    separator: str | None = None
    sheet: str | None = None
    unread_sheets: tuple[str, ...] = ()
    has_true_dates: bool = False

    @property
    def surplus(self) -> list[str]:
        """The columns of `cells` that stand to the right of the last header."""
        return self.cells.columns[1 + len(self.header) :]


def is_blank(cell: str) -> bool:
    """Nothing stands in the cell that a person could see."""
    return not cell.strip(BLANKS)


def first_content(cells: Iterable[str]) -> str | None:
    """The first cell of a column, or of a line, in which something stands."""
    return next((cell for cell in cells if not is_blank(cell)), None)


def without_trailing_blanks(cells: Sequence[str], shortest: int = 0) -> Sequence[str]:
    """The cells up to the last that is not blank, but at least the first `shortest`."""
    end = len(cells)
    while end > shortest and is_blank(cells[end - 1]):
        end -= 1
    return cells[:end]


def within_bounds(grid: Grid) -> Grid:
    """The same grid. Raises Unreadable where it has no lines, or more or longer ones than any log."""
    if grid.cells.height == 0:
        raise unreadable(
            grid.file_name,
            seen=f"no lines below the header on line {grid.header_line}",
            expected="at least one line",
            to_do="fill in the lines, or leave the file out",
        )
    refuse_too_many_lines(grid.file_name, grid.cells.height)
    _refuse_long_cells(grid)
    return grid


def refuse_too_many_lines(file_name: str, lines: int) -> None:
    """Raises Unreadable for a file that is longer than any log."""
    if lines > MOST_LINES:
        raise unreadable(
            file_name,
            seen=f"more than {MOST_LINES} lines",
            expected=f"at most {MOST_LINES} lines",
            to_do="split the file, for instance by year, and load the parts",
        )


def refuse_too_many_columns(file_name: str, columns: int) -> None:
    """Raises Unreadable for a table that is wider than any log."""
    if columns > MOST_COLUMNS:
        raise unreadable(
            file_name,
            seen=f"a line of {columns} cells",
            expected=f"at most {MOST_COLUMNS} columns",
            to_do="delete what does not belong to the log, and check the separator",
        )


def _refuse_long_cells(grid: Grid) -> None:
    is_long = pl.any_horizontal(pl.exclude("line").str.len_chars() > LONGEST_CELL)
    long_lines = grid.cells.filter(is_long)["line"]
    if len(long_lines):
        raise unreadable(
            grid.file_name,
            seen=f"a cell of more than {LONGEST_CELL} characters on line {long_lines[0]}",
            expected=f"at most {LONGEST_CELL} characters in a cell",
            to_do="shorten the text; if it runs over several lines, close the quote that opens it",
        )
