"""How large a workbook would become in memory, told from its parts before they are unpacked into a table.

A sheet becomes a full rectangle: an almost empty one with one cell far away would be billions of cells. A text is kept
once in the file and once for every cell that shows it in memory. Whatever somebody made of the parts, they are read in
time proportional to their length: every pattern begins at a "<", does not cross the next, and never goes back.
"""

import re
from collections.abc import Collection
from itertools import pairwise
from xml.parsers import expat

from ingest.bounds import MOST_COLUMNS, MOST_WORKBOOK_CELLS, MOST_WORKBOOK_ROWS

DTD_BEGINS = b"<!DOCTYPE"
"""The parts of a package have no document type definition (ISO/IEC 29500-2)."""

_PREFIX = rb"(?:[^\s<>/:]++:)?+"
# A cell that is not plainly one with an address up to column GR, the two hundredth, and row 99999.
_ODD_CELL = re.compile(
    rb"<" + _PREFIX + rb"c(?=[\s/>])"
    rb"""(?!(?:\s++(?!r=)[\w:]++="[^"<>]*+")*+\s++r="(?:[A-F]?[A-Z]|G[A-R])[0-9]{1,5}")"""
)
_SHARED_TEXT_ENDS = re.compile(rb"</" + _PREFIX + rb"si\s*+>")
_SHOWS_SHARED_TEXT = re.compile(rb"""\bt\s*+=\s*+["']s["']""")
_SHARED_TEXT_SHOWN = re.compile(
    rb"(?><" + _PREFIX + rb"""c\s[^<>]*?\bt\s*+=\s*+["']s["'][^<>]*+>)\s*+<""" + _PREFIX + rb"v>\s*+([0-9]{1,9})\s*+<"
)
_ADDRESS = re.compile(r"([A-Za-z]{1,9})([0-9]{1,18})")


def has_far_cell(part: bytes) -> bool:
    """Whether a cell with content lies beyond the last row or column. Raises expat.ExpatError where it is no XML."""
    if not _ODD_CELL.search(part):
        return False
    follower = _Follower()
    follower.parser.Parse(part, True)
    return follower.has_far_cell


def shown_bytes(parts: Collection[bytes], enough: int) -> int:
    """The bytes of all shared texts, each as often as a cell shows it; a bound where that is below `enough`."""
    texts = [length for part in parts for length in _text_lengths(part)]
    longest = max(texts, default=0)
    cells = sum(1 for part in parts for _ in _SHOWS_SHARED_TEXT.finditer(part)) if longest else 0
    if longest * cells < enough:
        return longest * cells
    shown = [int(index) for part in parts for index in _SHARED_TEXT_SHOWN.findall(part)]
    return sum(texts[index] for index in shown if index < len(texts)) + longest * max(0, cells - len(shown))


def _text_lengths(part: bytes) -> list[int]:
    ends = [0, *(found.end() for found in _SHARED_TEXT_ENDS.finditer(part))]
    return [end - begin for begin, end in pairwise(ends)]


class _Follower:
    """Follows the cells of a sheet whose writer left addresses out, or wrote them in a way of its own."""

    def __init__(self) -> None:
        self.has_far_cell = False
        self.parser = expat.ParserCreate()
        self.parser.StartElementHandler = self._begin
        self._row, self._column, self._cells = 0, 0, 0

    def _begin(self, name: str, attributes: dict[str, str]) -> None:
        match name.rpartition(":")[2]:
            case "c":
                self._place_cell(attributes.get("r", ""))
            case "v" | "is":
                # A cell that is only formatted has neither, and takes no room.
                self.has_far_cell |= self._row > MOST_WORKBOOK_ROWS or self._column > MOST_COLUMNS
            case "row":
                row = attributes.get("r", "")
                self._row, self._column = (int(row) if re.fullmatch("[0-9]{1,18}", row) else self._row + 1), 0

    def _place_cell(self, address: str) -> None:
        """A cell without an address stands to the right of the last."""
        found = _ADDRESS.fullmatch(address)
        self._column = _column(found[1]) if found else self._column + 1
        self._row = int(found[2]) if found else self._row
        self._cells += 1
        self.has_far_cell |= self._cells > MOST_WORKBOOK_CELLS


def _column(letters: str) -> int:
    """A is 1, Z is 26, AA is 27."""
    number = 0
    for letter in letters.upper():
        number = number * 26 + ord(letter) - 64
    return number
