"""Refused lines as a grid in which they are corrected: as typed, the wrong cells marked, proposals below them.

`views/correcting/correcting.js` tells what is typed and pressed, by `data-act`, `data-line`, `data-place`.
"""

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from dashboard.drawings.markup import Markup, element, joined
from dashboard.tables.refused_lines import told_as_one
from dashboard.words.correcting import REASONS, counted_lines
from ingest.correcting import Corrections, Judged, ToCorrect
from ingest.kinds import squeezed
from ingest.mend_file import RefusedLine
from ingest.problems import Refusal, shortened
from models.shapes import BLANKS

LINES_AT_ONCE = 12
"""So many lines stand in the grid at once: a file may have half a million wrong ones."""
SHORTEST_CELL = 4
LONGEST_CELL = 16
"""Signs that a field is wide."""


Data = Mapping[str, str | int]
"""What the script tells of a button that is pressed."""
Alike = Mapping[tuple[str, str], int]
"""By column, as it is headed, and text, the number of lines that have it there."""


@dataclass(frozen=True)
class Sheet:
    """The lines of a file in the order in which they are shown."""

    lines: tuple[RefusedLine, ...]
    columns: Mapping[str, str]
    """Columns whose meaning was said, squeezed, each with the column of the log that it is."""

    def column(self, name: str) -> str:
        """The column of the log that a header is, squeezed."""
        return squeezed(self.columns.get(squeezed(name), name))

    @property
    def pages(self) -> int:
        """On how many pages they stand."""
        return -(-len(self.lines) // LINES_AT_ONCE)

    def page(self, number: int) -> tuple[RefusedLine, ...]:
        """The lines of a page, counted from 1."""
        return self.lines[(number - 1) * LINES_AT_ONCE : number * LINES_AT_ONCE]


def sheet_of(to_correct: ToCorrect) -> Sheet:
    """Lines that are wrong in the same way beside each other, those of most lines first."""
    lines = tuple(line for alike in told_as_one(to_correct.lines) for line in alike)
    return Sheet(lines, to_correct.columns)


def grid(lines: Sequence[RefusedLine], sheet: Sheet, corrections: Corrections, judged: Judged) -> Markup:
    """A page of lines, each with its cells as they are now and the verdict on it."""
    corrected = {line.name: line for line in judged.lines}
    alike = _alike(
        sheet, {*corrections.alike, *(wrong for line in lines for wrong in _wrong_cells(line, sheet, judged))}
    )
    rows = (_line(line, corrected[line.name], sheet, corrections, judged, alike) for line in lines)
    said = element("ul", *_said_for_all(alike, corrections), class_="hl-said") if corrections.alike else Markup()
    return joined(said, element("div", *rows, class_="hl-correct", role="list", aria_label="Refused lines"))


def _wrong_cells(line: RefusedLine, sheet: Sheet, judged: Judged) -> Iterator[tuple[str, str]]:
    """The column, as it is headed, and the text as typed of each cell at fault."""
    faulty = {squeezed(fault.column) for fault in judged.faults.get(line.name, ()) if fault.column}
    for name, cell in zip(line.header, line.cells, strict=False):
        if sheet.column(name) in faulty:
            yield squeezed(name), cell.strip(BLANKS)


def _alike(sheet: Sheet, wanted: Collection[tuple[str, str]]) -> Alike:
    """In how many lines each of these texts stands in its column."""
    columns = {column for column, _ in wanted}
    header = sheet.lines[0].header if sheet.lines else ()
    places = [(place, squeezed(name)) for place, name in enumerate(header) if squeezed(name) in columns]
    texts = (
        (column, line.cells[place].strip(BLANKS))
        for line in sheet.lines
        for place, column in places
        if place < len(line.cells)
    )
    return Counter(text for text in texts if text in wanted)


def _said_for_all(alike: Alike, corrections: Corrections) -> Iterator[Markup]:
    """What was said for all cells that say the same, each with the way back."""
    for (column, typed), value in corrections.alike.items():
        lines = counted_lines(alike.get((column, typed), 1))
        words = element("span", element("b", f"{shortened(typed)} → {shortened(value)}"), f" in {lines}")
        yield element("li", words, _button("as typed again", "unalike", {"column": column, "typed": typed}))


def _line(
    line: RefusedLine, now: RefusedLine, sheet: Sheet, corrections: Corrections, judged: Judged, alike: Alike
) -> Markup:
    why = corrections.left_out.get(line.name)
    faults = judged.faults.get(line.name, ())
    verdict = _verdict(faults, why)
    state = "left" if why else "bad" if faults else "ok"
    inside: Iterable[Markup] = () if why else (_cells(line, now, faults, sheet, alike), _ways_out(line))
    back = (_button("let it wait again", "keep", {"line": line.name}),) if why else ()
    return element(
        "div",
        element("div", element("b", f"Line {line.line}"), verdict, *back, class_="hl-verdict"),
        *inside,
        class_=f"hl-wrong-line hl-{state}-line",
        role="listitem",
    )


def _verdict(faults: Sequence[Refusal], why: str | None) -> Markup:
    if why:
        return element("span", f"– left out for good: {why}")
    if not faults:
        return element("span", "✓ in order: comes in")
    return element("span", "✗ ", *map(_fault, faults))


def _fault(fault: Refusal) -> Markup:
    column = f"{fault.column}: " if fault.column else ""
    expected = "" if fault.suggestions else f"expected {fault.expected}. "
    return joined(f"{column}{expected}", element("span", f"{fault.to_do[:1].upper()}{fault.to_do[1:]}. "))


def _cells(line: RefusedLine, now: RefusedLine, faults: Sequence[Refusal], sheet: Sheet, alike: Alike) -> Markup:
    by_column = {squeezed(fault.column): fault for fault in faults if fault.column}
    names = [*line.header, *["(beyond the header)"] * (len(line.cells) - len(line.header))]
    cells = (
        _cell(line, now, place, by_column.get(sheet.column(name)) if place < len(line.header) else None, alike)
        for place, name in enumerate(names)
    )
    return element("div", *cells, class_="hl-cells")


def _cell(line: RefusedLine, now: RefusedLine, place: int, fault: Refusal | None, alike: Alike) -> Markup:
    name = line.header[place] if place < len(line.header) else "(beyond the header)"
    value = now.cells[place] if place < len(now.cells) else ""
    typed = line.cells[place].strip(BLANKS) if place < len(line.cells) else ""
    is_faulty = fault is not None or place >= len(line.header)
    field = element(
        "input",
        value=value,
        size=min(max(len(value) + 1, SHORTEST_CELL), LONGEST_CELL),
        aria_label=f"{name}, line {line.line}",
        aria_invalid="true" if is_faulty else None,
        data_act="cell",
        data_line=line.name,
        data_place=place,
        autocomplete="off",
    )
    label = element("small", f"✗ {name}" if is_faulty else name)
    was = element("small", f"typed: {shortened(typed) or '(empty)'}") if value.strip(BLANKS) != typed else Markup()
    proposals = _proposals(line, place, typed, fault, alike) if fault else ()
    state = " hl-faulty" if is_faulty else " hl-changed" if was else ""
    return element("div", label, field, was, *proposals, class_=f"hl-cell{state}")


def _proposals(line: RefusedLine, place: int, typed: str, fault: Refusal, alike: Alike) -> Iterator[Markup]:
    """A button for each word that may be meant, for all lines that say the same where there are several."""
    number = alike.get((squeezed(line.header[place]), typed), 1)
    for word in fault.suggestions:
        where: Data = {"line": line.name, "place": place, "value": word}
        if number > 1:
            yield _button(f"{word} in all {number:,}", "alike", where)
        yield _button(word, "cell", where, label=f"{word} on line {line.line}")


def _ways_out(line: RefusedLine) -> Markup:
    """Leaving the line out for good, with a reason."""
    reasons = (_button(why, "leave", {"line": line.name, "value": why}) for why in REASONS)
    other = element(
        "input",
        placeholder="another reason",
        aria_label=f"Another reason to leave out line {line.line}",
        data_act="leave",
        data_line=line.name,
    )
    return element("details", element("summary", "Leave this line out for good: it is …"), *reasons, other)


def _button(words: str, act: str, data: Data, *, label: str | None = None) -> Markup:
    named = {f"data_{name}": value for name, value in data.items()}
    return element("button", words, type="button", data_act=act, aria_label=label, **named)
