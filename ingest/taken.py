"""How a file was taken, told so that nothing is guessed silently; what was told can be read again."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from ingest.csv_text import SIGNS
from ingest.dates import DAY_FIRST, MONTH_FIRST
from ingest.kinds import squeezed
from ingest.plain_text import NO_SIGN
from ingest.problems import shortened


@dataclass(frozen=True)
class Taken:
    """How a file was taken, so that nothing is guessed silently; all of it is shown to the user.

    `file_form` is csv or xlsx. `encoding` and `separator` are None for a workbook, `sheet` is None for a CSV file.
    `date_form` is one of: year first, day first, month first, true dates, none seen; `date_example` is a date as typed
    and as it was read. `decimal_sign` is one of: point, comma, none seen. `ignored_columns` are headers, as typed,
    that this kind of log does not know.
    """

    file_name: str
    sha256: str
    kind: str
    file_form: str
    encoding: str | None
    separator: str | None
    decimal_sign: str
    date_form: str
    sheet: str | None
    header_line: int
    ignored_columns: tuple[str, ...]
    date_example: tuple[str, str] | None = None
    unread_sheets: tuple[str, ...] = ()
    columns_meant: tuple[tuple[str, str], ...] = ()
    """Headers as typed that somebody said the meaning of, each with the column that it is."""
    values_meant: tuple[str, ...] = ()
    """The same of words, in sentences."""

    @property
    def sentences(self) -> tuple[str, ...]:
        """What was taken, in plain sentences for the report."""
        return tuple(
            sentence
            for sentence in (
                self._file,
                self._header,
                self._numbers,
                self._days,
                *self._meant,
                *self.values_meant,
                self._left,
            )
            if sentence
        )

    @property
    def is_as_meant(self) -> bool:
        """Somebody said what columns or words of it mean."""
        return bool(self.columns_meant or self.values_meant)

    @property
    def _meant(self) -> Iterator[str]:
        for typed, meant in self.columns_meant:
            yield f"The column “{shortened(typed)}” is {meant}, as was said of such files."

    @staticmethod
    def columns_told(sentences: str) -> dict[str, str]:
        """The columns whose meaning was said, squeezed, each with the column that it is, in the same way."""
        found = re.findall(r"The column “([^”]+)” is (\w+), as was said of such files\.", sentences)
        return {squeezed(typed): meant for typed, meant in found}

    @property
    def _file(self) -> str:
        if self.sheet is None:
            return f"{self.file_name} is a {self.kind} log: CSV in {self.encoding}, separated by {self.separator}s."
        others = f"; not read: {', '.join(self.unread_sheets)}" if self.unread_sheets else ""
        return f"{self.file_name} is a {self.kind} log: the sheet {self.sheet} of a workbook{others}."

    @staticmethod
    def form_told(sentences: str) -> tuple[str | None, str]:
        """The encoding and the sign that separates, out of what `sentences` tells; None and a comma where it does not.

        A log keeps of how a file was taken what was said of it.
        """
        found = re.search(rf" log: CSV in (.+), separated by ({'|'.join(SIGNS)})s\.", sentences)
        return (found[1], SIGNS[found[2]]) if found else (None, ",")

    @staticmethod
    def meaning_told(sentences: str) -> tuple[str | None, str | None]:
        """The kind of log and the order of day and month, in the same way; None for what is not told."""
        kind = re.search(r" is a (\w+) log: ", sentences)
        dates = re.search(rf" Dates: ({DAY_FIRST}|{MONTH_FIRST})", sentences)
        return kind[1] if kind else None, dates[1] if dates else None

    @property
    def _header(self) -> str:
        return (
            f"The column names stand on line {self.header_line}; nothing above was read."
            if self.header_line > 1
            else ""
        )

    @property
    def _numbers(self) -> str:
        return "" if self.decimal_sign == NO_SIGN else f"The decimal sign is the {self.decimal_sign}."

    @property
    def _days(self) -> str:
        if self.date_example is None:
            return ""
        typed, read = self.date_example
        example = f": {typed} is {read}" if typed != read else ""
        return f"Dates: {self.date_form}{example}."

    @property
    def _left(self) -> str:
        columns = ", ".join(shortened(column) for column in self.ignored_columns)
        return f"Columns that this log does not know were not read: {columns}." if columns else ""
