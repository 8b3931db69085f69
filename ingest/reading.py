"""From the bytes of a file to a table of plain texts under the column names of one kind of log.

Nothing is judged here: a cell that is wrong is carried on as typed, and screening refuses its line. A file is refused
as a whole only where its cells cannot be told apart or told for sure.
"""

import hashlib
from dataclasses import dataclass, replace

import polars as pl

from ingest.bounds import MOST_BYTES
from ingest.csv_text import read_csv
from ingest.dates import DAY_FIRST, MONTH_FIRST, YEAR_FIRST, DateReading
from ingest.foreign import refuse_foreign_bytes
from ingest.grid import Grid, first_content, is_blank, within_bounds
from ingest.kinds import MENDS, kind_of, places_of
from ingest.meanings import NOTHING_SAID, Meanings, Remembered, header_as_meant, nothing_remembered, source_of
from ingest.mend_file import read_back
from ingest.plain_text import Plain, plain_lines
from ingest.problems import Refusal, Unreadable, shortened, unreadable
from ingest.taken import Taken
from ingest.workbook import PACKAGE_BEGINS, read_workbook
from models.records import RECORDS, columns_of
from models.shapes import BLANKS


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
    meanings: Meanings = NOTHING_SAID


def read_log(
    file_name: str,
    content: bytes,
    *,
    kind: str | None = None,
    date_form: str | None = None,
    meant: Meanings = NOTHING_SAID,
    remembered: Remembered = nothing_remembered,
) -> Reading:
    """Read one log. `kind` and `date_form` ("day first" or "month first") say what the file alone does not show.

    `meant` was said of this file, `remembered` of its source.
    Raises Unreadable, which carries the reason and what to do, where the file cannot be taken as a whole.
    """
    if date_form not in (None, DAY_FIRST, MONTH_FIRST):
        raise ValueError(f"date_form is {DAY_FIRST!r} or {MONTH_FIRST!r}, not {date_form!r}")
    grid = within_bounds(read_back(_grid(file_name, content)))
    header, meanings = grid.header, meant.over(remembered(source_of(file_name, grid.header)))
    grid = replace(grid, header=header_as_meant(header, meanings))
    kind = kind_of(grid, kind)
    malformed = _malformed(grid)
    whole = grid.cells.filter(~pl.col("line").is_in([refusal.line for refusal in malformed]))
    columns = columns_of(RECORDS[kind])
    named = _named(whole, [column.name for column in columns], places_of(grid, kind))
    plain = plain_lines(file_name, named, columns, given_date_form=date_form, is_typed_text=grid.file_form == "csv")
    as_meant = tuple((typed, named) for typed, named in zip(header, grid.header, strict=True) if typed != named)
    taken = replace(_taken(grid, content, kind, plain), columns_meant=as_meant)
    return Reading(taken, plain.lines, header, grid.cells, malformed, meanings)


def header_of(file_name: str, content: bytes) -> tuple[str, ...]:
    """The header of a file, as typed; empty where there is none to be told."""
    try:
        return read_back(_grid(file_name, content)).header
    except Unreadable:
        return ()


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
