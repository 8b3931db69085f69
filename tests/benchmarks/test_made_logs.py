"""The logs that benchmarks make are logs: read in each dialect, with about as many wrong lines as was asked for."""

from pathlib import Path

import pytest

from ingest.loading import Incoming, check
from sql.folder import DataFolder
from tests.benchmarks.made_logs import LINES_IN_FILE, TODAY, lines, write_balls, write_basics


def test_each_dialect_is_read_and_few_lines_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tests.benchmarks.made_logs.LINES_IN_FILE", 1000)
    files = [*write_basics(tmp_path), *write_balls(tmp_path, 0, 3000, wrong_share=0.05)]

    reports = check(DataFolder(tmp_path / "club"), map(Incoming.from_path, files), today=TODAY)

    assert [report.lines_refused for report in reports[:3]] == [0, 0, 0]
    separators = [report.taken.separator for report in reports[3:] if report.taken]
    assert separators == ["comma", "semicolon", "tab"]
    assert all(25 < report.lines_refused < 90 for report in reports[3:])


def test_a_longer_history_begins_with_the_shorter_one() -> None:
    assert lines(0, 300).equals(lines(0, 700)[:300])
    assert lines(300, 400).equals(lines(0, 700)[300:])
    assert lines(0, 10_000).unique(["session_date", "player", "block", "ball"]).height == 10_000
    assert LINES_IN_FILE <= 500_000
