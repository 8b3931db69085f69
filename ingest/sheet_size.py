"""How large a workbook would become in memory, told from its parts before they are unpacked into a table.

A sheet becomes a full rectangle: an almost empty one with one cell far away would be billions of cells. A text is kept
once in the file and once for every cell that shows it in memory. The parts are read by an XML parser, in time
proportional to their length, whatever somebody made of them; patterns over their text would not be.
"""

import re
from collections.abc import Collection
from dataclasses import dataclass, field
from xml.parsers import expat

from ingest.bounds import MOST_COLUMNS, MOST_WORKBOOK_ROWS, MOST_WORKBOOK_TEXT

_ADDRESS = re.compile(r"([A-Za-z]{1,9})([0-9]{1,18})")
# Atomic, so that one tag is looked at once.
_SHARED_TEXT = re.compile(rb"""(?><(?:\w+:)?c\s[^<>]*?\bt\s*=\s*["']s["'][^<>]*>)\s*<(?:\w+:)?v>\s*([0-9]{1,9})\s*<""")


class HasDtd(Exception):
    """A part with a document type definition, which the parts of a package may not have (ISO/IEC 29500-2)."""


@dataclass
class Extent:
    """What one part holds: whether a cell with content lies too far, cells that show shared texts, and those texts."""

    has_far_cell: bool = False
    shared_cells: int = 0
    text_bytes: list[int] = field(default_factory=list)


def extent(part: bytes) -> Extent:
    """Read one XML part. Raises expat.ExpatError where it is no XML, HasDtd."""
    follower = _Follower()
    follower.parser.Parse(part, True)
    return follower.extent


def shown_bytes(parts: Collection[bytes], extents: Collection[Extent]) -> int:
    """The bytes of all shared texts, each as often as a cell shows it; at most a little too many."""
    texts = [length for extent in extents for length in extent.text_bytes]
    longest, cells = max(texts, default=0), sum(extent.shared_cells for extent in extents)
    if longest * cells <= MOST_WORKBOOK_TEXT:
        return longest * cells
    shown = [int(index) for part in parts for index in _SHARED_TEXT.findall(part)]
    return sum(texts[index] for index in shown if index < len(texts)) + longest * max(0, cells - len(shown))


class _Follower:
    """Follows the rows, cells and shared texts of one part."""

    def __init__(self) -> None:
        self.extent = Extent()
        self.parser = expat.ParserCreate()
        self.parser.StartElementHandler = self._begin
        self.parser.EndElementHandler = self._end
        self.parser.StartDoctypeDeclHandler = self._refuse_dtd
        self._row, self._column, self._text_begins = 0, 0, 0

    def _begin(self, name: str, attributes: dict[str, str]) -> None:
        match name.rpartition(":")[2]:
            case "c":
                self._place_cell(attributes.get("r", ""))
                self.extent.shared_cells += attributes.get("t") == "s"
            case "v" | "is":
                # A cell that is only formatted has neither, and takes no room.
                self.extent.has_far_cell |= self._row > MOST_WORKBOOK_ROWS or self._column > MOST_COLUMNS
            case "row":
                self._row, self._column = _whole(attributes.get("r", ""), self._row + 1), 0
            case "si":
                self._text_begins = self.parser.CurrentByteIndex

    def _end(self, name: str) -> None:
        if name.rpartition(":")[2] == "si":
            self.extent.text_bytes.append(self.parser.CurrentByteIndex - self._text_begins)

    def _place_cell(self, address: str) -> None:
        """A cell without an address stands to the right of the last."""
        found = _ADDRESS.fullmatch(address)
        self._column = _column(found[1]) if found else self._column + 1
        self._row = int(found[2]) if found else self._row

    def _refuse_dtd(self, *_: object) -> None:
        raise HasDtd


def _whole(text: str, otherwise: int) -> int:
    return int(text) if text.isdecimal() and len(text) < 19 else otherwise


def _column(letters: str) -> int:
    """A is 1, Z is 26, AA is 27."""
    number = 0
    for letter in letters.upper():
        number = number * 26 + ord(letter) - 64
    return number
