"""Files that nobody should send, made out of a handful of bytes: the same bytes make the same file.

A coverage-guided fuzzer changes those bytes, and so walks through shapes of files instead of through noise.
"""

import codecs
import csv
import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from ingest.dates import DAY_FIRST, MONTH_FIRST
from models.records import RECORDS, columns_of
from models.shapes import BLANKS
from tests.torture.fuzz_workbooks import a_workbook

Option = TypeVar("Option")


@dataclass(frozen=True)
class Case:
    """A file, what somebody says of it, and how many lines it has where that is sure."""

    file_name: str
    content: bytes
    kind: str | None = None
    date_form: str | None = None
    lines: int | None = None


class Choices:
    """Choices that a row of bytes makes; when they are used up, the first option of each."""

    def __init__(self, recipe: bytes) -> None:
        self._recipe = recipe
        self._at = 0

    def below(self, count: int) -> int:
        """A number from 0 to count - 1, for a count up to 65536."""
        width = 1 if count <= 256 else 2
        taken = self._recipe[self._at : self._at + width]
        self._at += width
        return int.from_bytes(taken, "little") % count

    def one_of(self, options: Sequence[Option]) -> Option:
        return options[self.below(len(options))]

    def seldom(self, one_in: int = 16) -> bool:
        return self.below(one_in) == one_in - 1

    def rest(self) -> bytes:
        taken = self._recipe[self._at :]
        self._at = len(self._recipe)
        return taken


BEGINNINGS = (
    *(b"", b"PK\x03\x04", b"PK\x05\x06", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", b"%PDF-", b"\x1f\x8b", b"<html>", b"{"),
    *(codecs.BOM_UTF8, codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE, codecs.BOM_UTF32_LE, b"\x00", b"\x89PNG", b"sep=;\n"),
    b"session_date,player,setup,spin,length,balls,good\n",
)
ENCODINGS = ("utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252", "latin-1", "utf-32", "cp437", "koi8-r")
FILE_NAMES = ("week.csv", "week.xlsx", "", "=week.csv", "../week.csv", "wéek\n\x1b[31m.csv", "w" * 255, "NUL", "week")
SEPARATORS = (",", ";", "\t", "|", " ")
LINE_ENDS = ("\n", "\r\n", "\r", "\n\n", "\x0b", "\u2028")

HEADERS = tuple(
    separator.join(column.name for column in columns_of(record) if column.is_required) + "\n"
    for record in RECORDS.values()
    for separator in SEPARATORS[:3]
)
COLUMNS = sorted({column.name for record in RECORDS.values() for column in columns_of(record)})
EXAMPLES = sorted({column.example for record in RECORDS.values() for column in columns_of(record) if column.example})
WILD_CELLS = (
    *("", "'", '"', '""', "=1+1", "@x", "-", "+", "\t", "NaN", "inf", "-0", "1e400", "1_000", "0x1F", "1,5", "1.5"),
    *("1.000", "1,000,000", "٣", "９", "½", "2026-02-30", "30.02.2026", "02/03/2026", "13/12/2026", "12/13/2026"),
    *("2026-03-02 00:00:00", "0000-00-00", "9999-12-31", "1.1.26", "2026-03-02T25:00", "true", "N/A", "#REF!", "null"),
    *("\u202ek", "e\u0301", "😀", "\ufeff", "\u200b", "\x07", "\x1b[31m", "\x7f", "\x85", "\ud7ff", "a\nb", "a\r\nb"),
    *("surplus", "mends", "refused_because", "4f2ab31c9e01:2", "1:2", "<script>", "x" * 41, "x" * 501, "x" * 10_001),
    "9" * 400,
)
TOKENS = (*COLUMNS, *EXAMPLES, *WILD_CELLS, *SEPARATORS, *LINE_ENDS, '","', '"\n"', "sep=,", "\0", ",,,,,,,,,")


def of_bytes(choices: Choices) -> Case:
    """Any bytes, perhaps behind the beginning of a file of some kind."""
    name = choices.one_of(FILE_NAMES)
    return Case(name, choices.one_of(BEGINNINGS) + choices.rest(), *_said(choices))


def of_text(choices: Choices) -> Case:
    """Words of a log and signs that separate, in any order and any encoding, below the header of a log as a rule."""
    name, encoding = choices.one_of(FILE_NAMES), choices.one_of(ENCODINGS)
    said = _said(choices)
    header = choices.one_of(("", *HEADERS))
    text = header + "".join(choices.one_of(TOKENS) for _ in range(choices.below(100)))
    return Case(name, _damaged(choices, text.encode(encoding, "replace")), *said)


def of_csv(choices: Choices) -> Case:
    """A log with much right and some things wrong; without damage to its text, its lines can be counted."""
    kind = choices.one_of(tuple(RECORDS))
    header = _a_header(choices, kind)
    rows = [[_a_cell(choices, name, at) for name in header] for at in range(1, 2 + choices.below(12))]
    if choices.seldom():
        rows[0] += [choices.one_of(WILD_CELLS) for _ in range(1 + choices.below(300))]
    said = (choices.one_of((kind, kind, None)), choices.one_of((None, DAY_FIRST, MONTH_FIRST)))
    separator, line_end = choices.one_of(SEPARATORS[:3]), choices.one_of(LINE_ENDS[:3])
    text = line_end.join([*(_a_line(row, separator) for row in [header, *rows]), ""])
    whole = text.encode(choices.one_of(ENCODINGS[:3]), "replace")
    content = _damaged(choices, whole)
    filled = sum(any(cell.strip(BLANKS) for cell in row) for row in rows)
    return Case(choices.one_of(FILE_NAMES), content, *said, lines=filled if content == whole else None)


def of_xlsx(choices: Choices) -> Case:
    """A workbook with what workbooks may hold to confuse or to drown a reader."""
    name = choices.one_of(FILE_NAMES)
    kind = choices.one_of(tuple(RECORDS))
    said = (choices.one_of((kind, kind, None)), choices.one_of((None, DAY_FIRST, MONTH_FIRST)))
    header = _a_header(choices, kind)
    rows = [[_a_cell(choices, name, at) for name in header] for at in range(1, 1 + choices.below(6))]
    content = a_workbook(choices, [header, *rows])
    return Case(name, _damaged(choices, content) if choices.seldom(6) else content, *said)


FAMILIES: dict[str, Callable[[Choices], Case]] = {
    "bytes": of_bytes,
    "text": of_text,
    "csv": of_csv,
    "xlsx": of_xlsx,
}


def case_of(family: str, recipe: bytes) -> Case:
    """The file that a recipe makes."""
    return FAMILIES[family](Choices(recipe))


def _a_line(cells: Sequence[str], separator: str) -> str:
    text = io.StringIO(newline="")
    csv.writer(text, delimiter=separator, lineterminator="\r\n").writerow(cells)
    return text.getvalue().removesuffix("\r\n")


def _said(choices: Choices) -> tuple[str | None, str | None]:
    return choices.one_of((None, *RECORDS)), choices.one_of((None, DAY_FIRST, MONTH_FIRST))


def _a_header(choices: Choices, kind: str) -> list[str]:
    names = [column.name for column in columns_of(RECORDS[kind]) if column.is_required or choices.below(2)]
    if choices.seldom(8):
        names.insert(choices.below(len(names) + 1), choices.one_of((*COLUMNS, *WILD_CELLS)))
    if choices.seldom(8):
        names += ["surplus", "mends", "refused_because"][choices.below(3) :]
    return names


def _a_cell(choices: Choices, column: str, line: int) -> str:
    how = choices.below(40)
    if how == 39:
        return choices.one_of(WILD_CELLS)
    if how == 38:
        return choices.one_of(EXAMPLES)
    return str(line) if column in ("block", "ball", "feed") else _EXAMPLE.get(column, "1")


_EXAMPLE = {column.name: column.example for record in RECORDS.values() for column in columns_of(record)}


def _damaged(choices: Choices, content: bytes) -> bytes:
    """The same bytes, or with some changed, doubled, taken out or cut off."""
    for _ in range(choices.one_of((0, 0, 0, 0, 0, 1, 2, 8))):
        at = choices.below(max(1, min(len(content), 65536)))
        how = choices.below(4)
        if how == 0:
            content = content[:at] + bytes([choices.below(256)]) + content[at + 1 :]
        elif how == 1:
            content = content[:at]
        elif how == 2:
            content = content[:at] + content[at + 1 + choices.below(64) :]
        else:
            content = content[:at] + content[at : at + 1 + choices.below(64)] * 2 + content[at:]
    return content
