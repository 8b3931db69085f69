"""Weeks, each called by its Monday."""

from datetime import date, timedelta


def monday_of(day: date) -> date:
    """The Monday of a day's ISO week."""
    return day - timedelta(days=day.weekday())


def last_day_of_week(monday: date) -> date:
    """The Sunday with which a week, and a window, ends."""
    return monday + timedelta(days=6)
