"""A player is forgotten: nothing in the data folder knows them, and nothing of anybody else is lost."""

import shutil
import sqlite3
from contextlib import closing
from datetime import date
from io import BytesIO
from pathlib import Path
from zipfile import ZipFile

import duckdb
import polars as pl
import pytest

from ingest.loading import Incoming, load
from sql.backup import back_up
from sql.club_file import club_file, now_utc
from sql.folder import DataFolder, FolderProblem
from sql.forgetting import Forgotten, forget
from sql.player_archive import player_archive
from sql.verify import verify
from sql.warehouse import ask

CODE, NAME = "QVX7", "Zebulon Quist"

FILES = {
    "players.csv": (
        "player,name,handedness,group,birth_year,level,joined_on\n"
        f"{CODE},{NAME},left,Juniors,2013,club,2025-09-01\nQVX70,Ida Storr,right,Juniors,2012,,\n"
    ),
    "setups.csv": "setup,x_cm,y_cm\nB,-20,0\n",
    "targets.csv": (
        f"target,applies_to,dimension,value,share\nown,{CODE},spin,topspin,1\nown,{CODE},spin,backspin,1\n"
        "all,*,spin,topspin,1\nall,*,spin,backspin,1\n"
    ),
    f"week of {NAME}.csv": (
        "session_date,player,block,setup,spin,length,balls,good,coach,note\n"
        f"2026-03-02,{CODE},1,B,topspin,long,40,30,M. Roe,tired today\n"
        f"2026-03-02,QVX70,1,B,topspin,long,40,20,M. Roe,with {NAME}\n"
        f"2026-03-02,QVX70,2,B,topspin,long,40,20,{NAME},kept the pace\n"
        f"2026-03-02,{CODE},9,B,spinny,long,40,30,M. Roe,refused\n"
    ),
}


@pytest.fixture(scope="module")
def whole_club(tmp_path_factory: pytest.TempPathFactory) -> DataFolder:
    """Only to be read or copied."""
    folder = DataFolder(tmp_path_factory.mktemp("whole") / "club")
    files = [Incoming(name, text.encode()) for name, text in FILES.items()]
    load(folder, files, NAME, today=date(2026, 3, 9))
    with club_file(folder) as connection:
        for name, role, player in ((NAME, "player", CODE), ("Ms Quist", "guardian", CODE), ("Ida", "player", "QVX70")):
            account = connection.execute(
                "insert into accounts (name, name_key, role, made_at) values (?, ?, ?, ?)",
                [name, name.casefold(), role, now_utc()],
            ).lastrowid
            connection.execute("insert into account_players values (?, ?)", [account, player])
        connection.execute(
            "insert into trail (happened_at, account, name, event, player, about) values (?, 1, ?, 'load', ?, ?)",
            [now_utc(), NAME, CODE, f"batch 4, week of {NAME}"],
        )
    return folder


def a_copy(whole_club: DataFolder, place: Path) -> DataFolder:
    shutil.copytree(whole_club.path, place / "club")
    return DataFolder(place / "club")


@pytest.fixture
def club(whole_club: DataFolder, tmp_path: Path) -> DataFolder:
    return a_copy(whole_club, tmp_path)


@pytest.fixture(scope="module")
def lines_kept(whole_club: DataFolder, tmp_path_factory: pytest.TempPathFactory) -> tuple[DataFolder, Forgotten]:
    """The club after the player was forgotten, the lines kept without a person. Only to be read."""
    folder = a_copy(whole_club, tmp_path_factory.mktemp("kept"))
    return folder, forget(folder, CODE, keeps_lines=True)


@pytest.fixture(scope="module")
def lines_gone(whole_club: DataFolder, tmp_path_factory: pytest.TempPathFactory) -> tuple[DataFolder, Forgotten]:
    """The club after the player was forgotten with all lines. Only to be read."""
    folder = a_copy(whole_club, tmp_path_factory.mktemp("gone"))
    return folder, forget(folder, CODE, keeps_lines=False)


def everything_in(folder: Path) -> str:
    """Every byte of every file, and every value of every table as text: a packed word would hide from the bytes."""
    found = [file.read_bytes().decode("utf-8", errors="replace") for file in folder.rglob("*") if file.is_file()]
    for file in folder.rglob("*.duckdb"):
        with duckdb.connect(str(file), read_only=True) as connection:
            for (table,) in connection.execute(
                "select concat(schema_name, '.', table_name) from duckdb_tables()"
            ).fetchall():
                found += [str(row) for row in connection.execute(f"select * from {table}").fetchall()]
    with closing(sqlite3.connect(folder / "club.sqlite")) as connection:
        found += list(connection.iterdump())
    return "\n".join(found).casefold()


def is_named_in(folder: DataFolder) -> bool:
    text = everything_in(folder.path).replace("qvx70", "")
    return CODE.casefold() in text or NAME.casefold() in text


def lines_of_the_log(folder: DataFolder) -> list[tuple[object, ...]]:
    return ask(folder, "select player_id, block, balls, good from core.fed_lines order by all").rows()


def test_no_file_of_the_folder_names_a_forgotten_player(whole_club, lines_kept, lines_gone):
    assert is_named_in(whole_club)
    assert not is_named_in(lines_kept[0])
    assert not is_named_in(lines_gone[0])


def test_lines_can_stay_without_a_person(lines_kept):
    club, forgotten = lines_kept

    assert (forgotten.code, forgotten.lines) == ("gone-1", 4)
    assert lines_of_the_log(club) == [("QVX70", 1, 40, 20), ("QVX70", 2, 40, 20), ("gone-1", 1, 40, 30)]
    player = ask(club, "select * from core.players where player_id = 'gone-1'").row(0, named=True)
    known = {name for name, value in player.items() if value is not None}
    assert known == {"club_id", "player_id", "name", "handedness", "is_active"}
    assert (player["name"], player["is_active"]) == ("gone-1", False)


def test_lines_can_go_with_the_person_and_nobody_else_loses_any(lines_gone):
    club, forgotten = lines_gone

    assert (forgotten.code, forgotten.lines) == (None, 4)
    assert lines_of_the_log(club) == [("QVX70", 1, 40, 20), ("QVX70", 2, 40, 20)]
    assert ask(club, "select player_id from core.players").rows() == [("QVX70",)]


def test_others_keep_what_does_not_name_the_person(lines_kept):
    coaches = ask(lines_kept[0], "select coach, count(*) from core.fed_lines group by coach order by coach nulls last")

    assert coaches.rows() == [("M. Roe", 2), (None, 1)]


def test_the_accounts_of_the_player_and_of_a_guardian_of_nobody_else_go(lines_kept):
    with club_file(lines_kept[0]) as connection:
        names = [row["name"] for row in connection.execute("select name from accounts").fetchall()]

    assert names == ["Ida"]


def test_the_log_is_sound_after_an_erasure(lines_kept, lines_gone):
    assert verify(lines_kept[0]).findings == ()
    assert verify(lines_gone[0]).findings == ()


def test_a_file_that_names_the_person_does_not_bring_them_back_and_the_next_to_leave_gets_another_code(club):
    """The club may still hold the file; the same bytes change nothing."""
    forget(club, CODE, keeps_lines=True)
    name = f"week of {NAME}.csv"

    load(club, [Incoming(name, FILES[name].encode())], "tester", today=date(2026, 3, 9))

    assert not is_named_in(club)
    assert forget(club, "QVX70", keeps_lines=True).code == "gone-2"


def test_backups_that_still_hold_the_person_are_named(club, tmp_path):
    back_up(club, tmp_path / "before.zip")

    assert forget(club, CODE, keeps_lines=True).backups == ((tmp_path / "before.zip").resolve(),)


def test_a_code_that_nobody_has_is_told(club):
    with pytest.raises(FolderProblem, match="saw 'NOBODY', expected the code of a player"):
        forget(club, "NOBODY", keeps_lines=True)


def test_an_erasure_that_was_cut_off_before_the_log_can_be_given_again(club, monkeypatch):
    """The accounts go first; without them the player is still in the log."""

    def power_cut(*_: object) -> int:
        raise KeyboardInterrupt

    with monkeypatch.context() as cut:
        cut.setattr("sql.forgetting._erase_from_log", power_cut)
        with pytest.raises(KeyboardInterrupt):
            forget(club, CODE, keeps_lines=True)

    forget(club, CODE, keeps_lines=True)

    assert not is_named_in(club)


def test_all_that_is_stored_of_a_player_can_be_taken_away(whole_club):
    archive = ZipFile(BytesIO(player_archive(whole_club, CODE)))

    told = pl.read_csv(archive.read("read-me.csv"))
    assert set(told["file"]) == set(archive.namelist()) - {"read-me.csv"}
    lines = pl.read_csv(archive.read("log.sessions.csv"))
    assert lines["player"].unique().to_list() == [CODE]
    assert lines.select("balls", "good", "note").rows() == [(40, 30, "tired today")]
    assert pl.read_csv(archive.read("club.accounts.csv"))["name"].to_list() == [NAME, "Ms Quist"]


def test_nothing_of_anybody_else_is_in_a_players_archive(whole_club):
    archive = ZipFile(BytesIO(player_archive(whole_club, CODE)))

    text = "\n".join(archive.read(name).decode() for name in archive.namelist())
    assert "QVX70" not in text
    assert "Ida" not in text
