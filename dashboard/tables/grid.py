"""One player's grid as a table: tiles by the first two dimensions of the target, the other dimensions inside."""

from collections.abc import Sequence
from datetime import date
from itertools import groupby

from dashboard.drawings.markup import Markup, element
from dashboard.rows.coach import CoverageRow
from dashboard.tables import marks
from dashboard.words import sentences as wording
from dashboard.words.phrases import DIMENSION_LABELS, combination, label, short_day
from models.words import COVERAGE_DIMENSIONS, DIMENSION

Place = tuple[str, ...]
"""The values of some dimensions, in the order of the dimensions."""

_RANKS = {words.name: {word: rank for rank, word in enumerate(words.names)} for words in COVERAGE_DIMENSIONS}


def player_grid(cells: Sequence[CoverageRow], handedness: str, seen_from: date) -> Markup:
    """The grid as the player sees the table: the far end above, the forehand side on the playing hand's side."""
    dimensions = named_dimensions(cells)
    down, across = dimensions[0::2], dimensions[1::2]
    lines, columns = places(cells, down), _as_seen(places(cells, across), across, handedness)
    met = {(place(cell, down), place(cell, across)): cell for cell in cells}
    rows = [
        element(
            "tr",
            *_line_heads(lines, i),
            *(_cell(met.get((line, c)), seen_from, starts=begins_tile(columns, k)) for k, c in enumerate(columns)),
            class_="begins" if begins_tile(lines, i) else None,
        )
        for i, line in enumerate(lines)
    ]
    head = header_rows(columns, across, before=[DIMENSION_LABELS[dimension] for dimension in down])
    return marks.table(element("thead", *head), element("tbody", *rows), label="Coverage grid")


def named_dimensions(cells: Sequence[CoverageRow]) -> tuple[str, ...]:
    """The dimensions that the target names, in their order."""
    return tuple(d for d in DIMENSION.names if any(cell.words[d] is not None for cell in cells))


def place(cell: CoverageRow, dimensions: Sequence[str]) -> Place:
    """The values of a combination in these dimensions."""
    return tuple(cell.words[d] or "" for d in dimensions)


def places(cells: Sequence[CoverageRow], dimensions: Sequence[str]) -> list[Place]:
    """The values that the combinations have in these dimensions, each once, in the order of the words."""
    different = {place(cell, dimensions) for cell in cells}
    return sorted(different, key=lambda values: [_RANKS[d][value] for d, value in zip(dimensions, values, strict=True)])


def begins_tile(places_in_order: Sequence[Place], i: int) -> bool:
    """Whether a tile begins at place i: its first value is another one than before."""
    return i == 0 or places_in_order[i - 1][:1] != places_in_order[i][:1]


def header_rows(
    columns: Sequence[Place], dimensions: Sequence[str], *, before: Sequence[str], upright_levels: int = 0
) -> list[Markup]:
    """One header row for each dimension, a value standing once over all its columns; the last ones upright."""
    levels = len(dimensions)
    corner = [element("th", text, rowspan=max(levels, 1), class_="left", scope="col") for text in before]
    if not levels:
        return [element("tr", *corner, element("th", "Balls", scope="col"))]
    rows = [_header_row(columns, level, upright=level >= levels - upright_levels) for level in range(levels)]
    return [element("tr", *corner, *rows[0]), *(element("tr", *row) for row in rows[1:])]


def _header_row(columns: Sequence[Place], level: int, *, upright: bool) -> list[Markup]:
    heads = []
    for values, group in groupby(enumerate(columns), key=lambda column: column[1][: level + 1]):
        under = [i for i, _ in group]
        kinds = [kind for kind, so in (("starts", begins_tile(columns, under[0])), ("upright", upright)) if so]
        scope = "colgroup" if len(under) > 1 else "col"
        heads.append(element("th", label(values[-1]), colspan=len(under), class_=" ".join(kinds), scope=scope))
    return heads


def _as_seen(columns: list[Place], across: Sequence[str], handedness: str) -> list[Place]:
    """A right-hander has the backhand side on the left; everything else stays in the order of the words."""
    if handedness != "right" or across[:1] != ("side",):
        return columns
    sides = [list(group) for _, group in groupby(columns, key=lambda values: values[0])]
    return [values for side in reversed(sides) for values in side]


def _line_heads(lines: Sequence[Place], i: int) -> list[Markup]:
    """The names of a line; a value stands once beside all lines that begin alike."""
    return [
        element(
            "th",
            label(value),
            scope="row",
            rowspan=sum(line[: level + 1] == lines[i][: level + 1] for line in lines),
            class_="left" if level == 0 else None,
        )
        for level, value in enumerate(lines[i])
        if i == 0 or lines[i - 1][: level + 1] != lines[i][: level + 1]
    ]


def _cell(cell: CoverageRow | None, seen_from: date, *, starts: bool) -> Markup:
    edge = " starts" if starts else ""
    if cell is None:
        return element("td", "·", class_=f"unwanted{edge}", title="not wanted")
    status = cell.status
    text = {"empty": "never", "stale": short_day(cell.last_met_on, seen_from)}.get(status, f"{cell.balls:,}")
    title = f"{combination(cell.words)}: {wording.met_how(cell, seen_from)}"
    return element("td", f"{marks.SIGNS[status]} {text}", class_=f"{status}{edge}", title=title)
