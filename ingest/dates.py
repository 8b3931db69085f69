"""How the dates of one file are written, and the same dates as YYYY-MM-DD.

A day/month date such as 02/03/2026 says nothing of its order by itself; the file as a whole may. Dates with dots are
read day first: common practice in the countries that write dots (no source).
"""

import re
from dataclasses import dataclass
from datetime import date
from functools import partial

from ingest.problems import Unreadable, shortened, unreadable

YEAR_FIRST, DAY_FIRST, MONTH_FIRST = "year first", "day first", "month first"

_MIDNIGHT = r"(?:[ T]00:00(?::00(?:\.0+)?)?)?"
_YEAR_FIRST_TEXT = re.compile(rf"(\d{{4}})([-./])(\d{{1,2}})\2(\d{{1,2}}){_MIDNIGHT}", re.ASCII)
_YEAR_LAST_TEXT = re.compile(rf"(\d{{1,2}})([-./]) ?(\d{{1,2}})\2 ?(\d{{4}}|\d{{2}}){_MIDNIGHT}", re.ASCII)


@dataclass(frozen=True)
class DateReading:
    """How the dates were read: the form, the YYYY-MM-DD of each text that is a date, and one telling example."""

    form: str
    plain: dict[str, str]
    example: tuple[str, str] | None


@dataclass(frozen=True)
class _YearLast:
    """A text with two numbers and then a year, and the day it is in either order (None where it is none)."""

    text: str
    has_dots: bool
    day_first: date | None
    month_first: date | None

    @property
    def shows_day_first(self) -> bool:
        return bool(self.day_first and (self.has_dots or not self.month_first))

    @property
    def shows_month_first(self) -> bool:
        return bool(self.month_first and not self.day_first)

    @property
    def is_ambiguous(self) -> bool:
        return not self.has_dots and bool(self.day_first and self.month_first) and self.day_first != self.month_first


def plain_dates(file_name: str, texts: list[str], given_form: str | None) -> DateReading:
    """Read the different texts of a file's date columns; `given_form` is the order that the user named.

    Raises Unreadable where the order of day and month is not certain.
    """
    year_first = {text: day for text in texts if (day := _year_first(text))}
    year_last = [found for text in texts if (found := _year_last(text))]
    if not year_last:
        return DateReading(YEAR_FIRST if year_first else "none seen", year_first, next(iter(year_first.items()), None))
    form = given_form or _order_shown(file_name, year_last)
    days = {found.text: found.day_first if form == DAY_FIRST else found.month_first for found in year_last}
    plain = {text: day.isoformat() for text, day in days.items() if day}
    return DateReading(form, year_first | plain, next(iter(plain.items()), None))


def _order_shown(file_name: str, dates: list[_YearLast]) -> str:
    refuse = partial(_uncertain, file_name)
    by_day = next((found.text for found in dates if found.shows_day_first), None)
    by_month = next((found.text for found in dates if found.shows_month_first), None)
    either = next((found for found in dates if found.is_ambiguous), None)
    if by_day and by_month:
        raise refuse(f"'{shortened(by_day)}', which is day first, and '{shortened(by_month)}', which is month first")
    if by_month:
        raise refuse(f"'{shortened(by_month)}', which can only be month first")
    if either and not by_day:
        raise refuse(f"'{shortened(either.text)}', which may be {either.day_first} or {either.month_first}")
    return DAY_FIRST


def _uncertain(file_name: str, seen: str) -> Unreadable:
    return unreadable(
        file_name,
        seen=f"the date {seen}",
        expected="dates as 2026-03-02, or dates of which one at least shows that the day comes first",
        to_do="say which it is (--dates day-first or --dates month-first), or write the dates as YYYY-MM-DD",
    )


def _year_first(text: str) -> str | None:
    found = _YEAR_FIRST_TEXT.fullmatch(text)
    day = _day(found[1], found[3], found[4]) if found else None
    return day.isoformat() if day else None


def _year_last(text: str) -> _YearLast | None:
    found = _YEAR_LAST_TEXT.fullmatch(text)
    if not found:
        return None
    first, sign, second, year = found.groups()
    year = year if len(year) == 4 else f"20{year}"
    return _YearLast(text, sign == ".", _day(year, second, first), _day(year, first, second))


def _day(year: str, month: str, day: str) -> date | None:
    try:
        return date(int(year), int(month), int(day))
    except ValueError:
        return None
