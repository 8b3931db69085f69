"""Refused lines as people typed them, each with what is wrong with it: for the screen, and as a file to mend."""

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby, zip_longest
from typing import NamedTuple

from dashboard.drawings.markup import Markup, element, joined
from dashboard.rows.club import RefusedRow
from ingest.kinds import squeezed
from ingest.mend_file import RefusedLine, refused_line
from ingest.problems import Refusal

SHOWN_TELLINGS = 50
"""A page tells so many different things about the refused lines of a file; the file to mend has them all."""
SHOWN_LINES = 50
"""A sheet of paper tells of so many refused lines of a file."""
LINES_NAMED = 12
"""Of lines that are wrong in the same way, so many are named."""


@dataclass(frozen=True)
class RefusedFile:
    """The refused lines of one batch."""

    batch: int
    file_name: str
    taken: str
    """How the file was read, in words."""
    lines: tuple[RefusedLine, ...]


class RefusedPlace(NamedTuple):
    """Where a refused line stands: in its file, and on a page that shows it."""

    file_name: str
    line: int
    anchor: str


def refused_places(faults: Iterable[RefusedRow]) -> dict[tuple[str, date], list[RefusedPlace]]:
    """The refused lines, each once, by the player whom they name, as typed, and the day that they belong to."""
    places: dict[tuple[str, date], list[RefusedPlace]] = {}
    for (batch, number), group in groupby(faults, key=lambda row: (row.batch, row.line)):
        row = next(group)
        named = _published_line(row, (_fault(row),))
        place = RefusedPlace(row.file_name, number, _anchor(batch, number))
        places.setdefault((_player_of(named), row.day), []).append(place)
    return places


def _player_of(line: RefusedLine) -> str:
    named = zip(map(squeezed, line.header), line.cells, strict=False)
    return next((cell.strip() for name, cell in named if name == "player"), "")


def _anchor(batch: int, line: int) -> str:
    return f"line-{batch}-{line}"


def refused_files(faults: Iterable[RefusedRow]) -> list[RefusedFile]:
    """The refused lines of published batches, from their faults by batch and line."""
    return [
        RefusedFile(batch, rows[0].file_name, rows[0].taken, tuple(_published_lines(rows)))
        for batch, group in groupby(faults, key=lambda row: row.batch)
        if (rows := list(group))
    ]


def _published_lines(rows: list[RefusedRow]) -> Iterator[RefusedLine]:
    for _, group in groupby(rows, key=lambda row: row.line):
        faults = list(group)
        yield _published_line(faults[0], tuple(_fault(fault) for fault in faults))


def _published_line(row: RefusedRow, faults: tuple[Refusal, ...]) -> RefusedLine:
    header = json.loads(row.header)
    cells = ["" if cell is None else cell for cell in json.loads(row.cells)]
    return refused_line(row.line_name, header, cells, faults)


def _fault(row: RefusedRow) -> Refusal:
    return Refusal(row.file_name, row.line, row.column_name, row.seen, row.expected, row.to_do)


def as_html(lines: Sequence[RefusedLine], *, with_cells: bool = True, batch: int | None = None) -> Markup:
    """Refused lines as a table: the lines, what to do about them, and their filled cells with the faulty ones marked.

    What is wrong with several lines in the same way is told once, that of most lines first. Where the batch is named,
    each line can be led to.
    """
    titles = [
        "Line",
        "What is wrong, and what to do",
        *(["The line as typed (✗ marks the cell)"] if with_cells else []),
    ]
    # On a narrow screen the rows are drawn as blocks, and only the roles then tell that this is a table.
    head = element("tr", *(element("th", title, role="columnheader") for title in titles), role="row")
    told = told_as_one(lines)[:SHOWN_TELLINGS]
    body = element("tbody", *(_row(alike, batch, with_cells=with_cells) for alike in told), role="rowgroup")
    thead = element("thead", head, role="rowgroup")
    return element("table", thead, body, class_="refused", role="table", aria_label="Refused lines")


def told_as_one(lines: Iterable[RefusedLine]) -> list[list[RefusedLine]]:
    """The lines that are wrong in the same way together, those of most lines first."""
    alike: dict[tuple[tuple[str | None, ...], ...], list[RefusedLine]] = {}
    for line in lines:
        told = tuple((fault.column, fault.seen, fault.expected, fault.to_do) for fault in line.faults)
        alike.setdefault(told, []).append(line)
    return sorted(alike.values(), key=len, reverse=True)


def _row(alike: Sequence[RefusedLine], batch: int | None, *, with_cells: bool) -> Markup:
    shown = alike[:LINES_NAMED]
    return element(
        "tr",
        element("th", *_lines_named(alike, batch), role="rowheader"),
        element("td", *map(_fault_told, alike[0].faults), role="cell"),
        *([element("td", *(element("ul", *_cells(line)) for line in shown), role="cell")] if with_cells else []),
        role="row",
    )


def _lines_named(alike: Sequence[RefusedLine], batch: int | None) -> Iterator[Markup]:
    """The numbers of the lines, each where a link to it leads; of very many the first few."""
    yield element("span", "line " if len(alike) == 1 else "lines ")
    for place, line in enumerate(alike[:LINES_NAMED]):
        anchor = None if batch is None else _anchor(batch, line.line)
        yield element("span", ", " if place else "", str(line.line), id=anchor, class_="hl-line")
    if len(alike) > LINES_NAMED:
        yield element("span", f" and {len(alike) - LINES_NAMED:,} more", class_="hl-line")


def _cells(line: RefusedLine) -> Iterator[Markup]:
    for name, cell in zip_longest(line.header, line.cells):
        is_faulty = name is None or squeezed(name) in line.faulty_columns
        if cell or is_faulty:
            yield _cell("(beyond the header)" if name is None else name, cell or "", is_faulty=is_faulty)


def _fault_told(fault: Refusal) -> Markup:
    column = joined(element("b", fault.column), ": ") if fault.column else ""
    seen = f"“{fault.seen}”" if fault.seen else "an empty cell"
    to_do = joined(element("b", "To do: "), f"{fault.to_do}.")
    return element("p", column, f"saw {seen}, expected {fault.expected}. ", element("span", to_do))


def _cell(name: str, cell: str, *, is_faulty: bool) -> Markup:
    mark = "✗ " if is_faulty else ""
    return element("li", element("small", mark, name), f" {cell or '(empty)'}", class_="faulty" if is_faulty else None)


# Lines and fills are shades of the text's own colour, so that they stand out on a light page and on a dark one.
