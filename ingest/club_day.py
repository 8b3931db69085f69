"""Which day it is in the club."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

_zone: ZoneInfo | None = None


def keep_to(time_zone: str) -> None:
    """From now on this process takes its days from this time zone; from the computer's own, where it is empty."""
    global _zone  # noqa: PLW0603 - a process is there for one club, and a club has one place
    _zone = ZoneInfo(time_zone) if time_zone else None


def today() -> date:
    """The club's own day, as on its wall."""
    return datetime.now(_zone).date()


def now() -> datetime:
    """The hour on the club's own wall, without a zone."""
    return datetime.now(_zone).replace(tzinfo=None)
