"""The file of refused lines that a person mends and loads again: how it is written, and how it is read back."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import groupby
from types import MappingProxyType

import polars as pl

from ingest.csv_out import as_typed, csv_text
from ingest.grid import Grid, without_trailing_blanks
from ingest.kinds import LEFT_OUT, MENDS, REFUSED_BECAUSE, SURPLUS, squeezed
from ingest.problems import Refusal
from models.shapes import BLANKS

SIGNS_OF_A_FILE = 12
"""So many signs of a file's SHA-256 tell it from every other file of a club; core.refusals counts on the same number.
A fingerprint, unlike the number of a batch, is there before anything is stored, and no load in between changes it."""


@dataclass(frozen=True, slots=True)
class RefusedLine:
    """One refused line: its number and its name, its cells as typed under the header as typed, and every fault.

    Cells beyond those of the header are the surplus ones. `mends`: the refused line whose place it was to take.
    """

    line: int
    name: str
    header: tuple[str, ...]
    cells: tuple[str, ...]
    faults: tuple[Refusal, ...]
    mends: str | None = None

    @property
    def faulty_columns(self) -> frozenset[str]:
        """The columns at fault, squeezed as headers are when they are matched."""
        return frozenset(squeezed(fault.column) for fault in self.faults if fault.column)


def line_name(file_sha256: str, line: int) -> str:
    """The name by which a line that takes its place calls a refused line."""
    return f"{file_sha256[:SIGNS_OF_A_FILE]}:{line}"


def refused_line(name: str, header: Sequence[str], cells: Sequence[str], faults: Sequence[Refusal]) -> RefusedLine:
    """A refused line from the header and the cells of its file, which may be a file to mend itself."""
    place = place_of(MENDS, header)
    mends = cells[place].strip(BLANKS) if place is not None and place < len(cells) else ""
    return RefusedLine(faults[0].line or 0, name, *as_typed_by_people(header, cells), tuple(faults), mends or None)


def place_of(column: str, header: Sequence[str]) -> int | None:
    """Where one of our own columns stands in a header, counted from 0."""
    return next((place for place, cell in enumerate(header) if squeezed(cell) == squeezed(column)), None)


def said_in(column: str, header: Sequence[str], cells: pl.DataFrame) -> dict[int, str]:
    """What one of our own columns says of each line, where it says anything; of malformed lines too."""
    place = place_of(column, header)
    if place is None:
        return {}
    said = cells.select("line", pl.col(f"c{place}").str.strip_chars(BLANKS))
    return {line: text for line, text in said.iter_rows() if text}


def left_out(header: Sequence[str], cells: pl.DataFrame) -> dict[int, str]:
    """Why lines are left out for good, of those that name a refused line: nobody leaves out what was never refused."""
    naming = said_in(MENDS, header, cells)
    return {line: why for line, why in said_in(LEFT_OUT, header, cells).items() if line in naming} if naming else {}


def as_typed_by_people(header: Sequence[str], cells: Sequence[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The header and the cells of a line, without the columns that we added; surplus cells last."""
    own, names = _own(tuple(header))
    typed = [*(cells[place] for place in own if place < len(cells)), *cells[len(header) :]]
    return names, tuple(without_trailing_blanks(typed, len(own)))


@lru_cache(maxsize=16)  # The lines of a file share its header.
def _own(header: tuple[str, ...]) -> tuple[tuple[int, ...], tuple[str, ...]]:
    """The places of a header that people wrote, and what they wrote there."""
    names = list(map(squeezed, header))
    ours = (MENDS, squeezed(LEFT_OUT)) if MENDS in names else ()
    own = tuple(place for place, name in enumerate(names) if name not in ours)
    return own, tuple(header[place] for place in own)


def refused_lines(
    file_sha256: str, header: Sequence[str], cells: pl.DataFrame, refusals: Iterable[Refusal]
) -> tuple[RefusedLine, ...]:
    """The refused lines of a file that was read, by line, without those left out for good.

    `cells` and `header` are those of a Reading.
    """
    open_ones = (refusal for refusal in refusals if not refusal.is_final)
    faults = {line: tuple(group) for line, group in groupby(open_ones, key=lambda refusal: refusal.line or 0)}
    own, names = _own(tuple(header))
    places = [place for place in (*own, *range(len(header), cells.width - 1)) if place < cells.width - 1]
    refused = cells.filter(pl.col("line").is_in(list(faults)))
    mends = said_in(MENDS, header, refused)
    typed_by_people = refused.select("line", *(f"c{place}" for place in places)).iter_rows()
    in_lines = ((line, tuple(without_trailing_blanks(typed, len(own)))) for line, *typed in typed_by_people)
    return tuple(
        RefusedLine(line, line_name(file_sha256, line), names, typed, faults[line], mends.get(line))
        for line, typed in in_lines
    )


def mend_file(
    lines: Sequence[RefusedLine], separator: str = ",", why_left_out: Mapping[str, str] = MappingProxyType({})
) -> str:
    """Refused lines of one file as CSV: as typed, then the line that each mends, last why it was refused.

    Separated as the file was that they came in: the spreadsheet that wrote it opens it again. `why_left_out` tells by
    name which lines are left out for good; without any there is no such column.
    """
    if not lines:
        return ""
    header = lines[0].header
    width = max(len(header), *(len(line.cells) for line in lines))
    surplus = [SURPLUS] * (width - len(header))
    ours = [MENDS, *([LEFT_OUT] if why_left_out else []), REFUSED_BECAUSE]

    def row(line: RefusedLine) -> list[str]:
        why = [why_left_out.get(line.name, "")] if why_left_out else []
        return [*line.cells, *[""] * (width - len(line.cells)), line.name, *why, _reasons(line)]

    return csv_text([[*header, *surplus, *ours], *map(row, lines)], separator)


def _reasons(line: RefusedLine) -> str:
    return " | ".join(fault.sentence for fault in line.faults)


def read_back(grid: Grid) -> Grid:
    """The grid of a file to mend as its lines were typed; any other grid as it is.

    The reason speaks to the reader who mends, and is no part of the log. Surplus cells stand beyond the header again.
    """
    names = [squeezed(cell) for cell in grid.header]
    if not {MENDS, squeezed(REFUSED_BECAUSE)}.intersection(names):
        return grid
    kept = [place for place, name in enumerate(names) if name not in (squeezed(REFUSED_BECAUSE), SURPLUS)]
    surplus = [place for place in range(grid.cells.width - 1) if place >= len(names) or names[place] == SURPLUS]
    typed = [as_typed(pl.col(f"c{place}")).alias(f"c{new}") for new, place in enumerate([*kept, *surplus])]
    header = pl.Series("header", [grid.header[place] for place in kept], dtype=pl.String).to_frame()
    return replace(
        grid,
        header=tuple(header.select(as_typed(pl.col("header"))).to_series()),
        cells=grid.cells.select("line", *typed),
    )
