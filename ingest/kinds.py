"""Which kind of log a table is, told by its columns."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import islice

from ingest.bounds import MOST_TITLE_LINES
from ingest.grid import Grid, is_blank, without_trailing_blanks
from ingest.problems import Unreadable, shortened, unreadable
from models.nearest import nearest
from models.records import RECORDS, columns_of
from models.shapes import BLANKS

MENDS = "mends"
"""The column of our own refusal files that says which refused line a line mends."""

REFUSED_BECAUSE = "refused_because"
"""The column of our own refusal files that tells the reader why; a reader of the log passes over it."""

LEFT_OUT = "left_out_because"
"""The column in which a line that names a refused one says why that is left out for good."""

SURPLUS = "surplus"
"""The columns of our own refusal files that hold the cells of a line that has more than its header."""

_UNSAID = str.maketrans("", "", BLANKS + "_-")


def squeezed(header: str) -> str:
    """A header without what people write in many ways: case, spaces, underscores and hyphens."""
    return header.translate(_UNSAID).lower()


_COLUMNS = {kind: {squeezed(c.name): c.name for c in columns_of(record)} for kind, record in RECORDS.items()}
_REQUIRED = {kind: [c.name for c in columns_of(record) if c.is_required] for kind, record in RECORDS.items()}


def columns_known(header: str) -> bool:
    """Whether any kind of log has a column of that name."""
    return any(squeezed(header) in columns for columns in _COLUMNS.values())


@dataclass(frozen=True)
class HeaderLine:
    """The line that names the columns; `known` of its cells are columns of one kind of log."""

    line: int
    cells: tuple[str, ...]
    known: int


def header_line(rows: Iterable[tuple[int, Sequence[str]]]) -> HeaderLine | None:
    """The line, among the first that are not empty, with the most columns of a log; None where none has any."""
    filled = (row for row in rows if not all(is_blank(cell) for cell in row[1]))
    found = [
        HeaderLine(line, tuple(without_trailing_blanks(cells)), _known(cells))
        for line, cells in islice(filled, MOST_TITLE_LINES + 1)
    ]
    best = max(found, key=lambda header: header.known, default=None)
    return best if best and best.known else None


def no_header(file_name: str, seen: str) -> Unreadable:
    """The refusal of a file in which no line names the columns of a log."""
    return unreadable(
        file_name,
        seen=f"{seen}, and no line with the column names of a log",
        expected=f"a header line such as {', '.join(_REQUIRED['sessions'])}",
        to_do="put the column names above the lines, separated by commas, semicolons or tabs "
        "(`halflong template KIND` writes them)",
    )


def kind_of(grid: Grid, given: str | None) -> str:
    """The kind of log whose required columns are all there. Raises Unreadable where none is, or more than one."""
    found = {squeezed(cell) for cell in grid.header}
    fitting = [kind for kind in ([given] if given else RECORDS) if not _missing(kind, found)]
    if len(fitting) == 1:
        return fitting[0]
    raise _two_kinds(grid, fitting) if fitting else _no_kind(grid, given or nearest_kind(grid.header))


def places_of(grid: Grid, kind: str) -> dict[str, int]:
    """Where each known column stands, counted from 0. Raises Unreadable where one stands twice."""
    known = {**_COLUMNS[kind], squeezed(MENDS): MENDS}
    if MENDS in map(squeezed, grid.header):
        known[squeezed(LEFT_OUT)] = LEFT_OUT
    places: dict[str, int] = {}
    for place, cell in enumerate(grid.header):
        column = known.get(squeezed(cell))
        if column in places:
            raise _twice(grid, column, grid.header[places[column]], cell)
        if column:
            places[column] = place
    return places


def _known(cells: Sequence[str]) -> int:
    found = {squeezed(cell) for cell in cells}
    return max(len(found & columns.keys()) for columns in _COLUMNS.values())


def _missing(kind: str, found: set[str]) -> list[str]:
    return [name for name in _REQUIRED[kind] if squeezed(name) not in found]


def nearest_kind(header: Iterable[str]) -> str:
    """The kind of log of whose required columns most are there, then of all its columns."""
    found = {squeezed(cell) for cell in header}

    def share_found(kind: str) -> tuple[float, int]:
        return 1 - len(_missing(kind, found)) / len(_REQUIRED[kind]), len(found & _COLUMNS[kind].keys())

    return max(RECORDS, key=share_found)


def _no_kind(grid: Grid, kind: str) -> Unreadable:
    found = {squeezed(cell) for cell in grid.header}
    missing = _missing(kind, found)
    unknown = [cell for cell in grid.header if cell and squeezed(cell) not in _COLUMNS[kind]]
    return unreadable(
        grid.file_name,
        seen=f"a header on line {grid.header_line} without {', '.join(missing)}",
        expected=f"every required column of the {kind} log: {', '.join(_REQUIRED[kind])}",
        to_do="; ".join(_mending(name, unknown) for name in missing),
    )


def _mending(name: str, unknown: list[str]) -> str:
    like = nearest(name, unknown)
    return f"rename the column {shortened(like)} to {name}" if like else f"add the column {name}"


def _two_kinds(grid: Grid, kinds: list[str]) -> Unreadable:
    return unreadable(
        grid.file_name,
        seen=f"the columns of the logs {' and '.join(kinds)} in one table",
        expected="one kind of log in a file",
        to_do=f"put them into separate files, or say which kind this one is (--kind {kinds[0]})",
    )


def _twice(grid: Grid, column: str, first: str, second: str) -> Unreadable:
    return unreadable(
        grid.file_name,
        column=column,
        seen=f"two columns of that name on line {grid.header_line}: '{shortened(first)}' and '{shortened(second)}'",
        expected="every column once",
        to_do="delete or rename one of the two",
    )
