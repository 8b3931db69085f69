"""The weeks and the training evenings of the season."""

from datetime import date, timedelta

FIRST_MONDAY = date(2026, 5, 25)
LAST_SUNDAY = date(2026, 11, 22)

CAMP_WEEK = 33
CLOSED_WEEKS = {"annex": (31, 32), "school-gym": (30, 31, 32, 33)}

_EVENINGS = (0, 2, 4)
"""Monday, Wednesday, Friday."""


def week_of(day: date) -> int:
    """The number of the ISO week; the season lies within one year."""
    return day.isocalendar().week


def share_of_season(day: date) -> float:
    """How far the season has gone on a day, from 0 to 1."""
    return (day - FIRST_MONDAY) / (LAST_SUNDAY - FIRST_MONDAY)


def training_days(hall: str) -> list[date]:
    """The days on which a hall is open, in order."""
    season = [FIRST_MONDAY + timedelta(days=n) for n in range((LAST_SUNDAY - FIRST_MONDAY).days + 1)]
    return [day for day in season if day.weekday() in _EVENINGS and week_of(day) not in CLOSED_WEEKS.get(hall, ())]


def sessions_on(day: date) -> tuple[str | None, ...]:
    """The labels of the sessions of a day: one without a label, but two on a day of the summer camp."""
    return ("morning", "afternoon") if week_of(day) == CAMP_WEEK else (None,)
