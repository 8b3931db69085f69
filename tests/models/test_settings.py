"""What the club's settings say of time: months as the calendar has them."""

from datetime import date, datetime

import pytest
from pydantic import ValidationError

from models.settings import Settings


@pytest.mark.parametrize(
    ("today", "months", "since"),
    [
        (date(2026, 11, 25), 1, date(2026, 10, 25)),
        (date(2026, 11, 25), 11, date(2025, 12, 25)),
        (date(2026, 11, 25), 24, date(2024, 11, 25)),
        (date(2026, 3, 31), 1, date(2026, 2, 28)),
        (date(2024, 3, 31), 1, date(2024, 2, 29)),
        (date(2026, 1, 31), 1, date(2025, 12, 31)),
        (date(2026, 1, 1), 600, date(1976, 1, 1)),
    ],
)
def test_so_many_months_ago_is_the_same_day_or_the_last_of_a_shorter_month(
    today: date, months: int, since: date
) -> None:
    settings = Settings(retention_months=months, trail_months=months)

    assert settings.logs_kept_since(today) == since
    assert settings.trail_kept_since(today) == since


def test_without_months_nothing_is_ever_too_old() -> None:
    settings = Settings(retention_months=0, trail_months=0)

    assert settings.logs_kept_since(date(2026, 11, 25)) is None
    assert settings.trail_kept_since(date(2026, 11, 25)) is None


@pytest.mark.parametrize(
    ("zone", "instant", "on_the_wall"),
    [
        ("Europe/Prague", "2026-07-01T22:30:00", "2026-07-02T00:30:00"),
        ("Europe/Prague", "2026-12-01T22:30:00+00:00", "2026-12-01T23:30:00"),
        ("America/St_Johns", "2026-01-01T02:00:00", "2025-12-31T22:30:00"),
        ("UTC", "2026-07-01T22:30:00", "2026-07-01T22:30:00"),
    ],
)
def test_times_are_told_by_the_clubs_own_clock_in_summer_and_winter(zone: str, instant: str, on_the_wall: str) -> None:
    """Offsets of the tz database: +2 and +1 hours in Prague, -3.5 in St John's in winter."""
    assert Settings(time_zone=zone).local(datetime.fromisoformat(instant)).isoformat() == on_the_wall


def test_a_zone_that_there_is_not_is_refused() -> None:
    with pytest.raises(ValidationError, match="such as Europe/Prague"):
        Settings(time_zone="Prague")
