"""Refused lines as a grid in which they are corrected: as typed, the wrong cells marked, proposals below them.

`views/correcting/correcting.js` tells what is typed and pressed, by `data-act`, `data-line`, `data-place`.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
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


@dataclass(frozen=True)
class Sheet:
    """The lines of a file in the order in which they are shown, and how often each wrong text stands in them."""

    lines: tuple[RefusedLine, ...]
    alike: Mapping[tuple[str, str], int]

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
    wrong = ((column, text) for line in lines for _, column, text in _wrong_cells(line))
    return Sheet(lines, Counter(wrong))


def _wrong_cells(line: RefusedLine) -> Iterator[tuple[int, str, str]]:
    """The place, the column and the text of each cell at fault."""
    for place, name in enumerate(line.header[: len(line.cells)]):
        if squeezed(name) in line.faulty_columns:
            yield place, squeezed(name), line.cells[place].strip(BLANKS)


def grid(lines: Sequence[RefusedLine], sheet: Sheet, corrections: Corrections, judged: Judged) -> Markup:
    """A page of lines, each with its cells as they are now and the verdict on it."""
    corrected = {line.name: line for line in judged.lines}
    rows = (_line(line, corrected[line.name], sheet, corrections, judged) for line in lines)
    said = element("ul", *_said_for_all(sheet, corrections), class_="hl-said") if corrections.alike else Markup()
    return joined(said, element("div", *rows, class_="hl-correct", role="list", aria_label="Refused lines"))


def _said_for_all(sheet: Sheet, corrections: Corrections) -> Iterator[Markup]:
    """What was said for all cells that say the same, each with the way back."""
    for (column, typed), value in corrections.alike.items():
        lines = counted_lines(sheet.alike.get((column, typed), 1))
        words = element("span", element("b", f"{shortened(typed)} → {shortened(value)}"), f" in {lines}")
        yield element("li", words, _button("as typed again", "unalike", column=column, typed=typed))


def _line(line: RefusedLine, now: RefusedLine, sheet: Sheet, corrections: Corrections, judged: Judged) -> Markup:
    why = corrections.left_out.get(line.name)
    faults = judged.faults.get(line.name, ())
    verdict = _verdict(faults, why)
    state = "left" if why else "bad" if faults else "ok"
    inside: Iterable[Markup] = () if why else (_cells(line, now, faults, sheet), _ways_out(line))
    back = (_button("let it wait again", "keep", line=line.name),) if why else ()
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
    to_do = element("span", f" To do: {fault.to_do}. ")
    return joined(f"{column}expected {fault.expected}.", to_do)


def _cells(line: RefusedLine, now: RefusedLine, faults: Sequence[Refusal], sheet: Sheet) -> Markup:
    by_column: dict[str, Refusal] = {squeezed(fault.column): fault for fault in faults if fault.column}
    cells = (_cell(line, now, place, by_column, sheet) for place in range(max(len(line.header), len(line.cells))))
    return element("div", *cells, class_="hl-cells")


def _cell(line: RefusedLine, now: RefusedLine, place: int, by_column: Mapping[str, Refusal], sheet: Sheet) -> Markup:
    name = line.header[place] if place < len(line.header) else "(beyond the header)"
    value = now.cells[place] if place < len(now.cells) else ""
    typed = line.cells[place].strip(BLANKS) if place < len(line.cells) else ""
    fault = by_column.get(squeezed(name))
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
    proposals = _proposals(line, place, typed, fault, sheet) if fault else ()
    state = " hl-faulty" if is_faulty else " hl-changed" if was else ""
    return element("div", label, field, was, *proposals, class_=f"hl-cell{state}")


def _proposals(line: RefusedLine, place: int, typed: str, fault: Refusal, sheet: Sheet) -> Iterator[Markup]:
    """A button for each word that may be meant, for all lines that say the same where there are several."""
    number = sheet.alike.get((squeezed(line.header[place]), typed), 1)
    for word in fault.suggestions:
        where = {"line": line.name, "place": place, "value": word}
        if number > 1:
            yield _button(f"{word} in all {number:,}", "alike", **where)
        yield _button(word, "cell", **where, label=f"{word} on line {line.line}")


def _ways_out(line: RefusedLine) -> Markup:
    """Leaving the line out for good, with a reason."""
    reasons = (_button(why, "leave", line=line.name, value=why) for why in REASONS)
    other = element(
        "input",
        placeholder="another reason",
        aria_label=f"Another reason to leave out line {line.line}",
        data_act="leave",
        data_line=line.name,
    )
    return element("details", element("summary", "Leave this line out for good: it is …"), *reasons, other)


def _button(words: str, act: str, *, label: str | None = None, **data: str | int) -> Markup:
    named = {f"data_{name}": value for name, value in data.items()}
    return element("button", words, type="button", data_act=act, aria_label=label, **named)
