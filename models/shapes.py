"""What one cell of a log may look like: the text that is taken, the value it becomes, the bounds it keeps.

A shape stands in the annotation of a record's field. Pydantic checks a single form with it; the bulk screening
compiles it into set-wise rules (`ingest/screening.py`). A property test holds the two to the same verdict.
Texts arrive plain: trimmed, with a decimal point, dates as YYYY-MM-DD (`ingest/plain_text.py` makes them so).
"""

import re
from dataclasses import dataclass
from datetime import date
from typing import Any, ClassVar, Protocol, runtime_checkable

from pydantic import GetCoreSchemaHandler
from pydantic_core import CoreSchema, core_schema

from models.words import WordList, tidy_word

BLANKS = " \t\r\n\u00a0\u2007\u202f\ufeff\u200b"
"""What is trimmed off both ends of a cell."""

YES = ("yes", "y", "true", "1")
NO = ("no", "n", "false", "0")


@runtime_checkable
class Shape(Protocol):
    """Anything that reads a cell and can say what it expects."""

    @property
    def expected(self) -> str:
        """The end of a sentence that begins with "expected"."""

    def read(self, cell: Any) -> Any:
        """The value of a cell that is not empty. Raises ValueError where the cell is not of this shape."""


class _Readable:
    """Lets pydantic read a field through its shape; an empty cell is no value."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_before_validator_function(self._read_or_none, handler(source))

    def _read_or_none(self, cell: Any) -> Any:
        if isinstance(cell, str):
            cell = cell.strip(BLANKS)
        return None if cell is None or cell == "" else self.read(cell)

    def read(self, cell: Any) -> Any:
        raise NotImplementedError


@dataclass(frozen=True)
class WholeNumber(_Readable):
    """A whole number between two bounds, both allowed."""

    minimum: int
    maximum: int
    unit: str = ""
    # 40.0 is what programs write for 40; 1.000 may be a thousand as some countries write it, so it is refused.
    pattern: ClassVar[str] = r"^[+-]?[0-9]{1,12}(\.0{1,2})?$"

    @property
    def expected(self) -> str:
        return f"a whole number from {self.minimum} to {self.maximum}"

    def read(self, cell: Any) -> int:
        if not re.fullmatch(self.pattern, str(cell)) or not self.minimum <= float(cell) <= self.maximum:
            raise ValueError(self.expected)
        return int(float(cell))


@dataclass(frozen=True)
class Number(_Readable):
    """A number between two bounds, both allowed."""

    minimum: float
    maximum: float
    unit: str = ""
    pattern: ClassVar[str] = r"^[+-]?([0-9]{1,12}(\.[0-9]{0,20})?|\.[0-9]{1,20})$"

    @property
    def expected(self) -> str:
        return f"a number from {self.minimum:g} to {self.maximum:g}"

    def read(self, cell: Any) -> float:
        if not re.fullmatch(self.pattern, str(cell)) or not self.minimum <= float(cell) <= self.maximum:
            raise ValueError(self.expected)
        return float(cell)


@dataclass(frozen=True)
class Day(_Readable):
    """A calendar day, between two bounds."""

    earliest: date = date(1900, 1, 1)
    latest: date = date(2199, 12, 31)
    unit: ClassVar[str] = "date"
    pattern: ClassVar[str] = r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$"

    @property
    def expected(self) -> str:
        return f"a day of the calendar such as 2026-03-02, not before {self.earliest} and not after {self.latest}"

    def read(self, cell: Any) -> date:
        try:
            day = date.fromisoformat(cell) if re.fullmatch(self.pattern, str(cell)) else None
        except (TypeError, ValueError):
            day = None
        day = cell if isinstance(cell, date) else day
        if day is None or not self.earliest <= day <= self.latest:
            raise ValueError(self.expected)
        return day


@dataclass(frozen=True)
class OneOf(_Readable):
    """One word of a list, typed in any case, with spaces or hyphens for underscores."""

    words: WordList
    unit: ClassVar[str] = ""

    @property
    def expected(self) -> str:
        return "one of " + ", ".join(self.words.names)

    def read(self, cell: Any) -> str:
        word = tidy_word(str(cell))
        if word not in self.words.names:
            raise ValueError(self.expected)
        return word


@dataclass(frozen=True)
class YesOrNo(_Readable):
    """Yes or no."""

    unit: ClassVar[str] = ""

    @property
    def expected(self) -> str:
        return "yes or no"

    def read(self, cell: Any) -> bool:
        word = str(cell).lower()
        if word not in YES + NO:
            raise ValueError(self.expected)
        return word in YES


@dataclass(frozen=True)
class Text(_Readable):
    """Free text on one or more lines, of at most so many characters, without control characters."""

    longest: int
    unit: ClassVar[str] = ""

    @property
    def pattern(self) -> str:
        # Line breaks and tabs are what a quoted cell may hold; any other control character is damage.
        return rf"^[^\x00-\x08\x0b\x0c\x0e-\x1f\x7f]{{1,{self.longest}}}$"

    @property
    def expected(self) -> str:
        return f"text of at most {self.longest} characters, without control characters"

    def read(self, cell: Any) -> str:
        if not re.fullmatch(self.pattern, str(cell)):
            raise ValueError(self.expected)
        return str(cell)


@dataclass(frozen=True)
class Code(Text):
    """A short name by which the club calls a player, a setup or a target; one line."""

    longest: int = 40

    @property
    def pattern(self) -> str:
        return rf"^[^\x00-\x1f\x7f]{{1,{self.longest}}}$"
