"""Which day it is in the club."""

from datetime import date


def today() -> date:
    """The club's own day, as on its wall."""
    return date.today()  # noqa: DTZ011 - a club has one place, and one day
