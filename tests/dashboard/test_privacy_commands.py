"""Forgetting a player and taking everything stored of one away, at the command line; and what goes by itself."""

import stat
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from zipfile import ZipFile

import polars as pl
import pytest
from typer.testing import CliRunner, Result

from dashboard import questions
from dashboard.command_line import app
from dashboard.questions import owners_desk
from ingest.loading import Incoming, load
from models.permits import owner
from sql.backup import back_up
from sql.club import audit_trail
from sql.club.audit_trail import Entry, Event, drop_older
from sql.club.file import club_file
from sql.folder import DataFolder, FolderProblem
from sql.forgetting import NobodyStored
from sql.warehouse import ask, held, warehouse
from tests.few_tables import few_tables


@pytest.fixture(autouse=True)
def _few_tables() -> Iterator[None]:
    """A publication of fewer tables takes less time."""
    with few_tables("report.stored_players"):
        yield


def halflong(*arguments: str | Path, typed: str | None = None) -> Result:
    return CliRunner().invoke(app, [str(argument) for argument in arguments], input=typed)


def noted(folder: DataFolder, event: Event) -> list[Entry]:
    with club_file(folder) as connection:
        return audit_trail.entries(connection, owner("test"), 100, event)


def is_stored(folder: DataFolder, player: str) -> bool:
    return bool(ask(folder, "select 1 from core.players where player_id = $player", {"player": player}).height)


def test_a_player_is_forgotten_and_what_is_left_to_do_is_told(small_club: DataFolder, tmp_path: Path) -> None:
    back_up(small_club, tmp_path / "before.zip")

    result = halflong("forget", "BEN", "--keep-lines", "--yes", "--data", small_club.path)

    told = result.output
    assert result.exit_code == 0
    assert told.index("Forget BEN (Ben Orr). The log lines stay") < told.index("The player is forgotten: 2 lines kept")
    assert f"{tmp_path / 'before.zip'} (" in told
    assert "Make a new backup, then delete these" in told
    assert not is_stored(small_club, "BEN")
    assert is_stored(small_club, "gone-1")


def test_an_erasure_stands_in_the_trail_without_the_persons_name(small_club: DataFolder) -> None:
    halflong("forget", "BEN", "--delete-lines", "--yes", "--data", small_club.path)

    (entry,) = noted(small_club, Event.ERASURE)
    assert (entry.about, entry.player) == ("a player: lines deleted, 2", None)
    assert entry.name is not None
    assert entry.name.endswith("(command line)")


@pytest.mark.parametrize(
    "arguments",
    [("BEN", "--keep-lines"), ("BEN", "--yes"), ("--keep-lines", "--yes"), ()],
    ids=["in a pipe", "lines not decided", "nobody named", "nothing"],
)
def test_what_is_not_said_in_full_is_wrong_use_and_changes_nothing(
    small_club: DataFolder, arguments: tuple[str, ...]
) -> None:
    result = halflong("forget", *arguments, "--data", small_club.path)

    assert result.exit_code == 2
    assert is_stored(small_club, "BEN")
    assert noted(small_club, Event.ERASURE) == []


@pytest.mark.parametrize("typed", ["ben\n", "ADA\n", "yes\n", "\n"])
def test_at_a_terminal_another_word_than_the_code_changes_nothing(
    small_club: DataFolder, monkeypatch: pytest.MonkeyPatch, typed: str
) -> None:
    monkeypatch.setattr("dashboard.commands.privacy.is_at_terminal", lambda: True)

    result = halflong("forget", "BEN", "--delete-lines", "--data", small_club.path, typed=typed)

    assert result.exit_code == 1
    assert "Nothing was changed" in result.output
    assert is_stored(small_club, "BEN")


def test_at_a_terminal_the_code_confirms(small_club: DataFolder, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("dashboard.commands.privacy.is_at_terminal", lambda: True)

    result = halflong("forget", "BEN", "--delete-lines", "--data", small_club.path, typed="BEN\n")

    assert result.exit_code == 0
    assert "Type BEN to confirm" in result.output
    assert not is_stored(small_club, "BEN")


def test_a_code_that_nobody_has_is_refused_and_a_mistyped_folder_is_not_made(
    small_club: DataFolder, tmp_path: Path
) -> None:
    for command in (("forget", "NOBODY", "--delete-lines", "--yes"), ("export", "NOBODY", tmp_path / "nobody.zip")):
        for folder in (small_club.path, tmp_path / "mistyped"):
            assert isinstance(halflong(*command, "--data", folder).exception, NobodyStored)

    assert not (tmp_path / "mistyped").exists()
    assert not (tmp_path / "nobody.zip").exists()


def test_who_is_due_is_listed_and_nobody_is_erased_by_that(small_club: DataFolder) -> None:
    """The small club's logs are of March 2025; Cléo and Dan never had one, and were listed just now."""
    small_club.settings_file.write_text("retention_months = 1\n", encoding="utf-8")

    result = halflong("forget", "--due", "--data", small_club.path)

    assert result.exit_code == 0
    assert [code for code in ("ADA", "BEN", "CLEO", "DAN") if code in result.output] == ["ADA", "BEN"]
    assert is_stored(small_club, "ADA")


def test_without_a_limit_nobody_is_due(small_club: DataFolder) -> None:
    assert "The club has set no limit" in halflong("forget", "--due", "--data", small_club.path).output


@pytest.mark.parametrize(
    ("since", "due"),
    [
        (date(2025, 3, 4), []),
        (date(2025, 3, 5), ["BEN"]),
        (date(2025, 3, 11), ["BEN"]),
        (date(2025, 3, 12), ["ADA", "BEN"]),
        (date(2199, 1, 1), ["ADA", "BEN", "CLEO", "DAN"]),
    ],
)
def test_due_is_who_had_no_log_since_and_who_never_had_one_counts_from_the_last_list(
    built_club: DataFolder, since: date, due: list[str]
) -> None:
    """Ben's last line that was accepted is of 4 March 2025, Ada's of 11 March."""
    answer = questions.due_to_be_forgotten(owners_desk(built_club), since)

    assert sorted(row.player_id for row in answer) == due


def test_lines_without_a_person_are_due_for_nothing_and_need_no_consent(small_club: DataFolder) -> None:
    halflong("forget", "BEN", "--keep-lines", "--yes", "--data", small_club.path)
    desk = owners_desk(small_club)

    answers = (questions.due_to_be_forgotten(desk, date(2199, 1, 1)), questions.without_consent(desk))

    assert is_stored(small_club, "gone-1")
    assert [sorted(row.player_id for row in answer) for answer in answers] == [["ADA", "CLEO", "DAN"]] * 2


def test_consent_is_asked_for_where_none_is_noted(small_club: DataFolder) -> None:
    noted_now = "player,name,handedness,consent_on\nADA,Ada Lind,right,2025-03-01\n"
    load(small_club, [Incoming("consent.csv", noted_now.encode())], "test", today=date(2025, 3, 12))

    answer = questions.without_consent(owners_desk(small_club))

    assert sorted(row.player_id for row in answer) == ["BEN", "CLEO", "DAN"]


def test_everything_stored_of_a_player_is_written_for_their_eyes_only(small_club: DataFolder, tmp_path: Path) -> None:
    file = tmp_path / "ada.zip"

    result = halflong("export", "ADA", file, "--data", small_club.path)

    assert result.exit_code == 0
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    archive = ZipFile(file)
    told = pl.read_csv(archive.read("read-me.csv"))
    assert set(told["file"]) == set(archive.namelist()) - {"read-me.csv"}
    assert pl.read_csv(archive.read("log.sessions.csv"))["balls"].to_list() == [40, 40, 40, 40]
    (entry,) = noted(small_club, Event.EXPORT)
    assert (entry.player, entry.about) == ("ADA", "everything stored of this player")


def test_a_file_is_never_written_over(small_club: DataFolder, tmp_path: Path) -> None:
    (tmp_path / "ada.zip").write_text("mine", encoding="utf-8")

    result = halflong("export", "ADA", tmp_path / "ada.zip", "--data", small_club.path)

    assert isinstance(result.exception, FolderProblem)
    assert (tmp_path / "ada.zip").read_text(encoding="utf-8") == "mine"
    assert noted(small_club, Event.EXPORT) == []


def an_entry_on(folder: DataFolder, day: date) -> None:
    with club_file(folder) as connection:
        audit_trail.record(connection, Event.LOAD, f"on {day}")
        connection.execute(
            "update trail set happened_at = ? where about = ?", [f"{day}T00:00:00.000000+00:00", f"on {day}"]
        )


def test_of_the_trail_only_what_is_older_goes_and_that_is_noted(empty_club: DataFolder) -> None:
    for day in (date(2024, 11, 24), date(2024, 11, 25), date(2026, 11, 25)):
        an_entry_on(empty_club, day)

    assert drop_older(empty_club, date(2024, 11, 25)) == 1
    assert drop_older(empty_club, date(2024, 11, 25)) == 0
    assert drop_older(empty_club, None) == 0

    assert [entry.about for entry in noted(empty_club, Event.LOAD)] == ["on 2026-11-25", "on 2024-11-25"]
    assert [entry.about for entry in noted(empty_club, Event.ERASURE)] == [
        "the audit trail before 2024-11-25: entries 1"
    ]


def test_old_entries_of_the_trail_go_when_the_screens_are_started(
    empty_club: DataFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("dashboard.commands.faces.serve", lambda *_, **__: None)
    empty_club.settings_file.write_text("trail_months = 1\n", encoding="utf-8")
    long_ago, lately = date.today() - timedelta(days=40), date.today() - timedelta(days=20)  # noqa: DTZ011
    for day in (long_ago, lately):
        an_entry_on(empty_club, day)

    assert halflong("serve", "--no-open", "--data", empty_club.path).exit_code == 0

    assert [entry.about for entry in noted(empty_club, Event.LOAD)] == [f"on {lately}"]


NOTES = "session_date,player,block,setup,spin,length,balls,good,note\n2025-03-06,ADA,8,NC,topspin,long,9,5,{}\n"


def with_notes(folder: DataFolder, *notes: str) -> None:
    for number, note in enumerate(notes):
        text = NOTES.format(note).replace(",8,", f",{8 + number},")
        load(folder, [Incoming(f"notes-{number}.csv", text.encode())], "test", today=date(2025, 3, 12))


def test_forgetting_shows_where_the_surname_stands_alone_and_spares_what_means_somebody_else(
    small_club: DataFolder,
) -> None:
    with_notes(small_club, "orr was here", "Orr senior helped")
    asked = halflong("forget", "BEN", "--keep-lines", "--data", small_club.path)
    assert asked.exit_code == 2
    assert "1. is taken out: sessions: note: Orr senior helped" in asked.output
    assert "2. is taken out: sessions: note: orr was here" in asked.output

    result = halflong("forget", "BEN", "--keep-lines", "--yes", "--spare", "1", "--data", small_club.path)

    assert result.exit_code == 0, result.output
    assert "1. stays: sessions: note: Orr senior helped" in result.output
    with held(small_club), warehouse(small_club) as connection:
        notes = connection.execute("select note from log.sessions where block >= 8 order by block").fetchall()
    assert notes == [(None,), ("Orr senior helped",)]


def test_a_number_that_no_text_has_forgets_nobody(small_club: DataFolder) -> None:
    result = halflong("forget", "BEN", "--keep-lines", "--yes", "--spare", "7", "--data", small_club.path)

    assert result.exit_code == 2
    assert ask(small_club, "select count(*) from core.players where player_id = 'BEN'").item() == 1
