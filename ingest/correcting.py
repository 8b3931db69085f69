"""Refused lines corrected where they are shown: what somebody says of them, and the file to mend that this makes.

Nothing is judged here and nothing stored: the file goes through the same door as any other.
"""

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from pathlib import PurePath

from ingest.encoding import encoded
from ingest.incoming import Incoming
from ingest.kinds import squeezed
from ingest.loading import Report
from ingest.meanings import Meanings
from ingest.mend_file import RefusedLine, mend_file
from ingest.problems import Refusal
from ingest.taken import Taken
from models.shapes import BLANKS

LONGEST_TYPED = 500
CORRECTED = "corrected"
"""What the name of a file of corrected lines says behind that of the file that they are of."""


@dataclass(frozen=True)
class ToCorrect:
    """The refused lines of one file; `taken`: how it was read, in sentences."""

    file_name: str
    taken: str
    lines: tuple[RefusedLine, ...]

    @property
    def columns(self) -> dict[str, str]:
        """The columns whose meaning somebody said, squeezed, each with the column of the log that it is."""
        return Taken.columns_told(self.taken)

    def line(self, name: str) -> RefusedLine | None:
        """The line of that name."""
        return next((line for line in self.lines if line.name == name), None)


@dataclass(frozen=True)
class Corrections:
    """What was said of refused lines so far.

    `alike`: by column and text as typed, the value for every line that has it there. `cells`: by the name of a line and
    the place of a cell in it, the value of that cell alone. `left_out`: by name, why a line is left out for good.
    """

    alike: Mapping[tuple[str, str], str] = field(default_factory=dict)
    cells: Mapping[tuple[str, int], str] = field(default_factory=dict)
    left_out: Mapping[str, str] = field(default_factory=dict)

    @property
    def is_empty(self) -> bool:
        """Nothing was said yet."""
        return not (self.alike or self.cells or self.left_out)

    def with_all_like(self, line: RefusedLine, place: int, value: str) -> "Corrections":
        """The value in every cell of the column that says what this one says."""
        if place >= min(len(line.header), len(line.cells)):
            return self
        alike = {**self.alike, (squeezed(line.header[place]), line.cells[place].strip(BLANKS)): _tidy(value)}
        return replace(self, alike=alike)

    def without_alike(self, column: str, typed: str) -> "Corrections":
        """These cells as they were typed again."""
        return replace(self, alike={key: v for key, v in self.alike.items() if key != (squeezed(column), typed)})

    def with_cell(self, line: RefusedLine, place: int, value: str) -> "Corrections":
        """The value in one cell; the text that was typed there takes the correction back."""
        others = {key: other for key, other in self.cells.items() if key != (line.name, place)}
        value = _tidy(value)
        if place >= len(line.cells):
            return self
        if value == self._for_all_like(line, place):
            return replace(self, cells=others)
        return replace(self, cells={**others, (line.name, place): value})

    def with_left_out(self, name: str, why: str) -> "Corrections":
        """The line left out for good; without a reason it waits again."""
        others = {line: reason for line, reason in self.left_out.items() if line != name}
        return replace(self, left_out={**others, name: _tidy(why)} if _tidy(why) else others)

    def applied_to(self, line: RefusedLine) -> RefusedLine:
        """The line as it reads with the corrections; its faults are those from before."""
        return replace(line, cells=tuple(self._cell(line, place) for place in range(len(line.cells))))

    def _cell(self, line: RefusedLine, place: int) -> str:
        return self.cells.get((line.name, place), self._for_all_like(line, place))

    def _for_all_like(self, line: RefusedLine, place: int) -> str:
        column = squeezed(line.header[place]) if place < len(line.header) else ""
        return self.alike.get((column, line.cells[place].strip(BLANKS)), line.cells[place])


def _tidy(value: str) -> str:
    return value[:LONGEST_TYPED].strip(BLANKS)


@dataclass(frozen=True)
class Judged:
    """The verdict on corrected lines, in their order; nothing of it is stored.

    `faults`: by name, what is still wrong. `corrects`: lines that would take the place of one in the log.
    """

    lines: tuple[RefusedLine, ...]
    faults: Mapping[str, tuple[Refusal, ...]]
    left_out: frozenset[str]
    corrects: int = 0
    whole: Refusal | None = None
    """Why the lines cannot be read at all, as they are now."""

    @property
    def sound(self) -> frozenset[str]:
        """The names of the lines that would come in."""
        if self.whole:
            return frozenset()
        return frozenset(line.name for line in self.lines if line.name not in self.faults) - self.left_out

    @property
    def settled(self) -> frozenset[str]:
        """The names of the lines that would wait no longer: they come in, or are left out for good."""
        return self.sound | self.left_out if self.whole is None else frozenset()


def judged(to_correct: ToCorrect, corrections: Corrections, report: Report) -> Judged:
    """The verdict of a report on the file of corrected lines."""
    faults = {line.mends: line.faults for line in report.refused if line.mends}
    lines = tuple(corrections.applied_to(line) for line in to_correct.lines)
    whole = report.refusals[0] if report.taken is None else None
    if whole:
        faults = {line.name: line.faults for line in to_correct.lines}
    return Judged(lines, faults, frozenset(corrections.left_out), report.comparison.correcting, whole)


def corrected_file(
    to_correct: ToCorrect, corrections: Corrections, *, only: Collection[str] | None = None, said_at: str = ""
) -> Incoming:
    """The lines as corrected, as a file to mend like any other; of all of them, or only of those named.

    Dates and decimals are meant as in the file that the lines came in. `said_at` tells files of one name apart.
    """
    kept = [line for line in to_correct.lines if only is None or line.name in only]
    lines = [_in_form(corrections.applied_to(line), line, to_correct.taken) for line in kept]
    content = encoded(mend_file(lines, why_left_out=corrections.left_out), None)
    kind, date_form = Taken.meaning_told(to_correct.taken)
    name = " ".join(part for part in (PurePath(to_correct.file_name).stem, CORRECTED, said_at) if part)
    return Incoming(f"{name}.csv", content, date_form=date_form, kind=kind, meant=Meanings(to_correct.columns))


def _in_form(line: RefusedLine, typed: RefusedLine, taken: str) -> RefusedLine:
    """The line with new decimals written as its file writes them: it would be refused for two signs in one file."""
    decimal, other = (",", ".") if "The decimal sign is the comma." in taken else (".", ",")
    if "The decimal sign is" not in taken:
        return line
    cells = (
        new.replace(other, decimal) if new != old and re.fullmatch(rf"[+-]?\d*\{other}\d{{1,2}}", new) else new
        for new, old in zip(line.cells, typed.cells, strict=True)
    )
    return replace(line, cells=tuple(cells))
