"""From the bytes of a file to a table of plain texts under the column names of one kind of log.

Nothing is judged here: a cell that is wrong is carried on as typed, and screening refuses its line. A file is refused
as a whole only where its cells cannot be told apart or told for sure.
"""

import hashlib
import re
from dataclasses import dataclass

import polars as pl

from ingest.bounds import MOST_BYTES
from ingest.csv_text import SIGNS, read_csv
from ingest.dates import DAY_FIRST, MONTH_FIRST, YEAR_FIRST, DateReading
from ingest.foreign import refuse_foreign_bytes
from ingest.grid import Grid, first_content, is_blank, within_bounds
from ingest.kinds import MENDS, kind_of, places_of
from ingest.mend_file import read_back
from ingest.plain_text import NO_SIGN, Plain, plain_lines
from ingest.problems import Refusal, Unreadable, shortened, unreadable
from ingest.workbook import PACKAGE_BEGINS, read_workbook
from models.records import RECORDS, columns_of
from models.shapes import BLANKS


@dataclass(frozen=True)
class Taken:
    """How a file was taken, so that nothing is guessed silently; all of it is shown to the user.

    `file_form` is csv or xlsx. `encoding` and `separator` are None for a workbook, `sheet` is None for a CSV file.
    `date_form` is one of: year first, day first, month first, true dates, none seen; `date_example` is a date as typed
    and as it was read. `decimal_sign` is one of: point, comma, none seen. `ignored_columns` are headers, as typed,
    that this kind of log does not know.
    """

    file_name: str
    sha256: str
    kind: str
    file_form: str
    encoding: str | None
    separator: str | None
    decimal_sign: str
    date_form: str
    sheet: str | None
    header_line: int
    ignored_columns: tuple[str, ...]
    date_example: tuple[str, str] | None = None
    unread_sheets: tuple[str, ...] = ()

    @property
    def sentences(self) -> tuple[str, ...]:
        """What was taken, in plain sentences for the report."""
        return tuple(
            sentence for sentence in (self._file, self._header, self._numbers, self._days, self._left) if sentence
        )

    @property
    def _file(self) -> str:
        if self.sheet is None:
            return f"{self.file_name} is a {self.kind} log: CSV in {self.encoding}, separated by {self.separator}s."
        others = f"; not read: {', '.join(self.unread_sheets)}" if self.unread_sheets else ""
        return f"{self.file_name} is a {self.kind} log: the sheet {self.sheet} of a workbook{others}."

    @staticmethod
    def form_told(sentences: str) -> tuple[str | None, str]:
        """The encoding and the sign that separates, out of what `sentences` tells; None and a comma where it does not.

        A log keeps of how a file was taken what was said of it.
        """
        found = re.search(rf" log: CSV in (.+), separated by ({'|'.join(SIGNS)})s\.", sentences)
        return (found[1], SIGNS[found[2]]) if found else (None, ",")

    @staticmethod
    def meaning_told(sentences: str) -> tuple[str | None, str | None]:
        """The kind of log and the order of day and month, in the same way; None for what is not told."""
        kind = re.search(r" is a (\w+) log: ", sentences)
        dates = re.search(rf" Dates: ({DAY_FIRST}|{MONTH_FIRST})", sentences)
        return kind and kind[1], dates and dates[1]

    @property
    def _header(self) -> str:
        return (
            f"The column names stand on line {self.header_line}; nothing above was read."
            if self.header_line > 1
            else ""
        )

    @property
    def _numbers(self) -> str:
        return "" if self.decimal_sign == NO_SIGN else f"The decimal sign is the {self.decimal_sign}."

    @property
    def _days(self) -> str:
        if self.date_example is None:
            return ""
        typed, read = self.date_example
        example = f": {typed} is {read}" if typed != read else ""
        return f"Dates: {self.date_form}{example}."

    @property
    def _left(self) -> str:
        columns = ", ".join(shortened(column) for column in self.ignored_columns)
        return f"Columns that this log does not know were not read: {columns}." if columns else ""


@dataclass(frozen=True)
class Reading:
    """A file, read: lines.height + len(malformed) = lines in the file, empty ones apart.

    `lines`: `line` (Int64), one String column for every column of the record, in its order (null where empty or
    absent), and `mends`.
    `header`: the header cells as typed. `cells`: `line`, then c0, c1, ... as typed, in file order, of every line, also
    of malformed ones, which have more cells than the header. Of our own files to mend, neither has what we added, but
    for the column `mends`.
    """

    taken: Taken
    lines: pl.DataFrame
    header: tuple[str, ...]
    cells: pl.DataFrame
    malformed: tuple[Refusal, ...]


def read_log(file_name: str, content: bytes, *, kind: str | None = None, date_form: str | None = None) -> Reading:
    """Read one log. `kind` and `date_form` ("day first" or "month first") say what the file alone does not show.

    Raises Unreadable, which carries the reason and what to do, where the file cannot be taken as a whole.
    """
    if date_form not in (None, DAY_FIRST, MONTH_FIRST):
        raise ValueError(f"date_form is {DAY_FIRST!r} or {MONTH_FIRST!r}, not {date_form!r}")
    grid = within_bounds(read_back(_grid(file_name, content)))
    kind = kind_of(grid, kind)
    malformed = _malformed(grid)
    whole = grid.cells.filter(~pl.col("line").is_in([refusal.line for refusal in malformed]))
    columns = columns_of(RECORDS[kind])
    named = _named(whole, [column.name for column in columns], places_of(grid, kind))
    plain = plain_lines(file_name, named, columns, given_date_form=date_form, is_typed_text=grid.file_form == "csv")
    return Reading(_taken(grid, content, kind, plain), plain.lines, grid.header, grid.cells, malformed)


def kind_at_top(file_name: str, top: bytes, *, kind: str | None = None) -> str | None:
    """The kind of log that a text file is, by the whole lines at its top; None where these do not tell."""
    if top.startswith(PACKAGE_BEGINS):
        return None
    try:
        return kind_of(read_back(_grid(file_name, top[: top.rfind(b"\n") + 1])), kind)
    except Unreadable:
        return None


def _grid(file_name: str, content: bytes) -> Grid:
    if len(content) > MOST_BYTES:
        raise unreadable(
            file_name,
            seen=f"{len(content) / 1e6:.1f} MB",
            expected=f"at most {MOST_BYTES // 1_000_000} MB",
            to_do="split the file, for instance by year, and load the parts",
        )
    refuse_foreign_bytes(file_name, content)
    is_package = content.startswith(PACKAGE_BEGINS)
    return read_workbook(file_name, content) if is_package else read_csv(file_name, content)


def _malformed(grid: Grid) -> tuple[Refusal, ...]:
    """Lines with more cells than the header: which cell is the one too many, nobody can tell."""
    if not grid.surplus:
        return ()
    is_wider = pl.any_horizontal(pl.col(grid.surplus).str.strip_chars(BLANKS) != "")
    quote = f"put quotes around a cell that holds the {grid.separator} which separates, or " if grid.separator else ""
    return tuple(
        Refusal(
            grid.file_name,
            line,
            None,
            shortened(first_content(surplus) or ""),
            f"no more cells than the {len(grid.header)} of the header",
            f"{quote}delete the surplus cell",
        )
        for line, *surplus in grid.cells.filter(is_wider).select("line", *grid.surplus).iter_rows()
    )


def _named(cells: pl.DataFrame, names: list[str], places: dict[str, int]) -> pl.DataFrame:
    return cells.select(
        "line",
        *(
            (pl.col(f"c{places[name]}") if name in places else pl.lit(None, pl.String)).alias(name)
            for name in [*names, MENDS]
        ),
    )


def _taken(grid: Grid, content: bytes, kind: str, plain: Plain) -> Taken:
    return Taken(
        file_name=grid.file_name,
        sha256=hashlib.sha256(content).hexdigest(),
        kind=kind,
        file_form=grid.file_form,
        encoding=grid.encoding,
        separator=grid.separator,
        decimal_sign=plain.decimal_sign,
        date_form=_date_form(grid, plain.dates),
        sheet=grid.sheet,
        header_line=grid.header_line,
        ignored_columns=_ignored(grid, kind),
        date_example=plain.dates.example,
        unread_sheets=grid.unread_sheets,
    )


def _date_form(grid: Grid, dates: DateReading) -> str:
    return "true dates" if grid.has_true_dates and dates.form == YEAR_FIRST else dates.form


def _ignored(grid: Grid, kind: str) -> tuple[str, ...]:
    """What this kind of log does not know, as typed; and a column without a name, if anything stands in it."""
    known = places_of(grid, kind).values()
    unknown = [(place, cell) for place, cell in enumerate(grid.header) if place not in known]
    nameless = {place: first_content(grid.cells[f"c{place}"]) for place, cell in unknown if is_blank(cell)}
    return tuple(
        f"a column without a name, with '{shortened(nameless[place] or '')}'" if place in nameless else cell
        for place, cell in unknown
        if nameless.get(place, cell)
    )
