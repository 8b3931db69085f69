"""The hands that write the logs: the same lines as each of them saves a file."""

import csv
import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

import xlsxwriter  # type: ignore[import-untyped]

from models.log_line import LogLine
from models.records import columns_of
from models.shapes import Day, Number, OneOf, WholeNumber

Cells = dict[str, str]
"""One line as plain text by column: dates as YYYY-MM-DD, a decimal point, empty where there is no value."""

UNUSED = ("probe",)
"""Only the sheet of the fixed test set has a column for it."""

_SAVED_ON = datetime(2026, 8, 17, 9, 30)  # noqa: DTZ001 - a workbook knows no time zone


def cells_of(line: LogLine) -> Cells:
    """A line as plain text, in the order of its record."""
    return {column: _text(value) for column, value in line.model_dump().items()}


def _text(value: object) -> str:
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case float():
            return f"{value:g}"
        case date():
            return value.isoformat()
    return str(value)


@dataclass(frozen=True)
class Dialect:
    """How one hand saves a file as text."""

    encoding: str
    separator: str = ","
    decimal_sign: str = "."
    date_form: str = "%Y-%m-%d"
    line_end: str = "\n"
    header: Callable[[str], str] = str
    word: Callable[[str], str] = str
    first_columns: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()
    with_unused: bool = False
    title: str = ""
    spare_columns: int = 0
    spare_lines: int = 0

    def lines_before_data(self) -> int:
        """How many lines stand above the first line of data."""
        return 2 if self.title else 1

    def write(self, record: type[LogLine], lines: Sequence[Cells]) -> bytes:
        """The file."""
        columns = self._columns(record)
        form = self._safe_date_form(lines)
        shapes = {column.name: column.shape for column in columns_of(record)}
        rows = [[self._say(shapes[column], cells[column], form) for column in columns] for cells in lines]
        titles = [[self.title, *[""] * (len(columns) - 1)]] if self.title else []
        return self._save([*titles, [self.header(column) for column in columns], *rows])

    def _columns(self, record: type[LogLine]) -> list[str]:
        in_use = list(record.model_fields) if self.with_unused else _columns_in_use(record)
        others = [name for name in in_use if name not in self.first_columns + self.left_out]
        return [*self.first_columns, *others]

    def _safe_date_form(self, lines: Sequence[Cells]) -> str:
        # 03.06. could be read as the 6th of March: only a day after the 12th shows which form a file is written in.
        is_clear = any(cells["session_date"][8:] > "12" for cells in lines if "session_date" in cells)
        return self.date_form if is_clear else "%Y-%m-%d"

    def _say(self, shape: object, text: str, date_form: str) -> str:
        if isinstance(shape, Day) and text:
            return date.fromisoformat(text).strftime(date_form) if date_form != "%Y-%m-%d" else text
        if isinstance(shape, Number):
            return text.replace(".", self.decimal_sign)
        return self.word(text) if isinstance(shape, OneOf) else text

    def _save(self, rows: list[list[str]]) -> bytes:
        text = io.StringIO(newline="")
        writer = csv.writer(text, delimiter=self.separator, lineterminator=self.line_end)
        blank = [""] * (len(rows[0]) + self.spare_columns)
        writer.writerows([*(row + [""] * self.spare_columns for row in rows), *[blank] * self.spare_lines])
        return text.getvalue().encode(self.encoding)


def _columns_in_use(record: type[LogLine]) -> list[str]:
    return [name for name in record.model_fields if name not in UNUSED]


def spoken(word: str) -> str:
    """A word or a column name as people write it: `heavy_backspin` -> `Heavy backspin`."""
    return word.replace("_", " ").capitalize()


def write_workbook(record: type[LogLine], lines: Sequence[Cells]) -> bytes:
    """The lines as a sheet with true dates and true numbers."""
    buffer = io.BytesIO()
    book = xlsxwriter.Workbook(buffer, {"in_memory": True})
    book.set_properties({"created": _SAVED_ON})
    day_form = book.add_format({"num_format": "dd/mm/yyyy"})
    sheet = book.add_worksheet("camp")
    sheet.write_row(0, 0, _columns_in_use(record))
    for row, cells in enumerate(lines, 1):
        for place, column in enumerate(c for c in columns_of(record) if c.name not in UNUSED):
            value = _true_value(column.shape, cells[column.name])
            sheet.write(row, place, value, *([day_form] if isinstance(value, datetime) else []))
    book.close()
    return buffer.getvalue()


def _true_value(shape: object, text: str) -> str | float | datetime:
    try:
        if isinstance(shape, Day):
            return datetime.fromisoformat(text)
        if isinstance(shape, Number | WholeNumber):
            return float(text)
    except ValueError:
        return text
    return text
