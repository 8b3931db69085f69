"""Any log, written in any dialect that people use, is read back as it was."""

from dataclasses import dataclass
from datetime import date

from hypothesis import given, settings
from hypothesis import strategies as st

from ingest.reading import read_log
from models.records import SessionLine, columns_of
from models.shapes import BLANKS, Day, Number, WholeNumber
from tests.ingest.log_files import workbook
from tests.proofs import examples

COLUMNS = columns_of(SessionLine)
LAST_DAY = date(2026, 12, 25)
"""A day beyond the twelfth, so that every file shows its order of day and month."""

DATE_FORMS = {
    "year first": lambda day: f"{day:%Y-%m-%d}",
    "year first, slashes": lambda day: f"{day.year}/{day.month}/{day.day}",
    "day first, dots": lambda day: f"{day.day}.{day.month}.{day.year}",
    "day first, slashes": lambda day: f"{day:%d/%m/%Y}",
    "day first, two-digit years": lambda day: f"{day:%d-%m-%y}",
}
HEADER_STYLES = [
    str,
    str.upper,
    lambda name: name.replace("_", " ").title(),
    lambda name: f" {name.replace('_', '-')} ",
]
CODECS = ["utf-8", "utf-8-sig", "utf-16", "cp1252"]


@dataclass(frozen=True)
class Dialect:
    codec: str
    separator: str
    line_end: str
    has_all_quoted: bool
    decimal_sign: str
    date_form: str
    header_style: int
    titles: int
    empty_at_end: int

    def cell(self, value):
        text = self.text(value)
        needs_quotes = self.has_all_quoted or any(sign in text for sign in f'{self.separator}"\r\n')
        return '"' + text.replace('"', '""') + '"' if needs_quotes else text

    def text(self, value):
        if isinstance(value, date):
            return DATE_FORMS[self.date_form](value)
        if isinstance(value, float):
            return f"{value:.2f}".replace(".", self.decimal_sign)
        return str(value)

    def written(self, rows):
        header = [HEADER_STYLES[self.header_style](column.name) for column in COLUMNS]
        # Letters that are no UTF-8, so that the rest cannot happen to be some.
        titles = ["é" * 60 if self.codec == "cp1252" else "Week 12"] * max(self.titles, self.codec == "cp1252")
        lines = [
            self.separator.join(map(self.cell, row)) + self.separator * self.empty_at_end for row in [header, *rows]
        ]
        empty = [self.separator * self.empty_at_end] * self.empty_at_end
        return self.line_end.join([*titles, *lines, *empty]).encode(self.codec)


dialects = st.builds(
    Dialect,
    codec=st.sampled_from(CODECS),
    separator=st.sampled_from(",;\t"),
    line_end=st.sampled_from(["\n", "\r\n", "\r"]),
    has_all_quoted=st.booleans(),
    decimal_sign=st.sampled_from(",."),
    date_form=st.sampled_from(list(DATE_FORMS)),
    header_style=st.integers(0, len(HEADER_STYLES) - 1),
    titles=st.integers(0, 3),
    empty_at_end=st.integers(0, 3),
)
days = st.dates(date(2000, 1, 1), LAST_DAY)
decimals = st.integers(-99999, 99999).map(lambda hundredths: hundredths / 100)
texts = st.text(st.characters(codec="cp1252", exclude_characters="\0"), max_size=15)
sheet_texts = st.text(st.characters(categories=["L", "N", "P", "S", "Zs"], include_characters="\n"), max_size=15)


def values(column, text):
    match column.shape:
        case Day():
            return days
        case WholeNumber():
            return st.integers(-5, 5000)
        case Number():
            return decimals
        case _:
            return text


def lines(text):
    drawn = st.tuples(*(values(column, text) for column in COLUMNS))
    return st.lists(drawn, min_size=1, max_size=4).map(lambda rows: [*rows, (LAST_DAY, *rows[-1][1:])])


def plain(value, decimals_shown):
    if isinstance(value, float):
        return decimals_shown(value)
    return str(value).strip(BLANKS) or None


@given(lines(texts), dialects)
@settings(max_examples=examples(30, 150))
def test_a_log_written_in_any_dialect_is_read_back_as_it_was(rows, dialect):
    reading = read_log("week12.csv", dialect.written(rows))

    assert reading.lines.select([column.name for column in COLUMNS]).rows() == [
        tuple(plain(value, lambda number: f"{number:.2f}") for value in row) for row in rows
    ]
    assert reading.cells.drop("line").rows() == [tuple(map(dialect.text, row)) for row in rows]
    assert (reading.malformed, reading.taken.ignored_columns) == ((), ())


@given(lines(sheet_texts), st.integers(0, 3), st.integers(0, 3))
@settings(max_examples=examples(15, 50))
def test_a_log_written_into_a_sheet_is_read_back_as_it_was(rows, top, left):
    def fill(book):
        sheet, day = book.add_worksheet("Log"), book.add_format({"num_format": "d mmm yyyy"})
        sheet.write_row(top, left, [column.name for column in COLUMNS])
        for number, row in enumerate(rows, start=top + 1):
            for place, value in enumerate(row, start=left):
                if isinstance(value, date):
                    sheet.write_datetime(number, place, value, day)
                elif isinstance(value, str):
                    sheet.write_string(number, place, value)
                else:
                    sheet.write_number(number, place, value)

    reading = read_log("week12.xlsx", workbook(fill))

    assert reading.lines.select([column.name for column in COLUMNS]).rows() == [
        tuple(plain(value, lambda number: f"{number:.2f}".rstrip("0").rstrip(".")) for value in row) for row in rows
    ]
    assert reading.lines["line"].to_list() == list(range(top + 2, top + 2 + len(rows)))
    assert (reading.taken.date_form, reading.taken.header_line) == ("true dates", top + 1)
