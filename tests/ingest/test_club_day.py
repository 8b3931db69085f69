"""The club's own day, wherever the computer stands."""

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta, timezone, tzinfo
from pathlib import Path

import pytest

from dashboard.commands.shared import in_order
from ingest import club_day
from ingest.loading import Incoming, check
from sql.folder import DataFolder
from tests.dashboard.conftest import SMALL_CLUB

LATE = datetime(2026, 11, 27, 13, 30, tzinfo=UTC)
"""In Greenwich the afternoon of the 27th; east of the 10th hour the 28th has begun."""


class Clock(datetime):
    """A clock that stands still."""

    @classmethod
    def now(cls, tz: tzinfo | None = None) -> datetime:  # type: ignore[override]
        """The same instant in every zone; the computer's own is Greenwich's."""
        return LATE.astimezone(tz or timezone(timedelta()))


@pytest.fixture(autouse=True)
def _at_that_hour(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setattr(club_day, "datetime", Clock)
    yield
    club_day.keep_to("")


@pytest.mark.parametrize(
    ("time_zone", "day"),
    [
        ("", date(2026, 11, 27)),
        ("Europe/Berlin", date(2026, 11, 27)),
        ("Pacific/Auckland", date(2026, 11, 28)),
        ("Pacific/Kiritimati", date(2026, 11, 28)),
        ("Pacific/Honolulu", date(2026, 11, 27)),
    ],
)
def test_the_day_is_that_of_the_clubs_time_zone(time_zone: str, day: date) -> None:
    club_day.keep_to(time_zone)

    assert club_day.today() == day


def test_a_club_east_of_its_server_logs_its_own_today(tmp_path: Path) -> None:
    """Before, a session of the morning was refused as one that has not been yet."""
    folder = DataFolder(tmp_path)
    folder.settings_file.write_text('time_zone = "Pacific/Auckland"\n', encoding="utf-8")
    log = SMALL_CLUB["2025-w10.csv"].replace("2025-03-04", "2026-11-28")
    file = Incoming("morning.csv", log.encode())
    refused, _ = _refusals(folder, file), in_order(tmp_path)

    assert refused == 3
    assert _refusals(folder, file) == 0


def _refusals(folder: DataFolder, file: Incoming) -> int:
    (report,) = check(folder, [file], today=club_day.today())
    return [refusal.column for refusal in report.refusals].count("session_date")


def test_settings_that_cannot_be_read_stop_no_command_here(tmp_path: Path) -> None:
    (tmp_path / "club.toml").write_text('time_zone = "nowhere"\n', encoding="utf-8")

    assert in_order(tmp_path) == tmp_path
    assert club_day.today() == date(2026, 11, 27)
