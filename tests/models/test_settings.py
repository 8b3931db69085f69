"""What the club's settings say of time: months as the calendar has them."""

from datetime import date

import pytest

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
