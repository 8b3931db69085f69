"""A player is forgotten: nothing in the data folder knows them, and nothing of anybody else is lost."""

import json
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import date
from pathlib import Path

import duckdb
import pytest

from ingest.loading import Incoming, load
from sql.backup import back_up
from sql.club.file import club_file, now_utc
from sql.folder import DataFolder
from sql.forgetting import Forgotten, NobodyStored, forget
from sql.mentions import mentions
from sql.stored_of_player import stored_of_player
from sql.verify import verify
from sql.warehouse import ask, held, warehouse
from tests.few_tables import few_tables

CODE, NAME = "QVX7", "Zebulon Quist"
FORMER = "Fuzzy"
"""The name of an account that the player once had."""
OTHERS = ("QVX70", "QVX7-B", f"{NAME} jun.")
"""Codes and a name of others, in which the player's stand."""

WEEK = f"{CODE}_{NAME}.csv"

LINES_OF_OTHERS = [("QVX70", 1, 40, 20), ("QVX70", 1, 40, 20), ("QVX70", 2, 40, 20)]

FILES = {
    "players.csv": (
        "player,name,handedness,group,birth_year,level,joined_on\n"
        f"{CODE},{NAME},left,Juniors,2013,club,2025-09-01\nQVX70,Ida Storr,right,Juniors,2012,,\n"
        f"QVX7-B,{NAME} jun.,right,Juniors,,,\n"
    ),
    "setups.csv": "setup,x_cm,y_cm\nB,-20,0\n",
    "targets.csv": (
        "target,applies_to,dimension,value,share\n"
        f"{CODE} own,{CODE},spin,topspin,1\n{CODE} own,{CODE},spin,backspin,1\n"
        "all,*,spin,topspin,1\nall,*,spin,backspin,1\n"
    ),
    WEEK: (
        "session_date,player,session,block,setup,spin,length,balls,good,coach,note\n"
        f"2026-03-02,{CODE},1,1,B,topspin,long,40,30,M. Roe,tired today\n"
        f"2026-03-02,QVX70,1,1,B,topspin,long,40,20,M. Roe,with {NAME}\n"
        f"2026-03-02,QVX70,1,2,B,topspin,long,40,20,{NAME},kept the pace\n"
        f"2026-03-02,QVX70,{CODE} {NAME},1,B,topspin,long,40,20,{NAME} jun.,with {NAME} jun.\n"
        f"2026-03-02,{CODE},1,9,B,spinny,long,40,30,M. Roe,refused\n"
        "2026-03-02,QVX70,1,9,B,spinny,long,40,30,Zebulon,Quist\n"
    ),
}


@pytest.fixture(scope="module", autouse=True)
def _few_tables() -> Iterator[None]:
    """A publication of fewer tables is written in the same steps, in less time."""
    with few_tables():
        yield


@pytest.fixture(scope="module")
def whole_club(tmp_path_factory: pytest.TempPathFactory) -> DataFolder:
    """Only to be read or copied."""
    folder = DataFolder(tmp_path_factory.mktemp("whole") / "club")
    files = [Incoming(name, text.encode()) for name, text in FILES.items()]
    load(folder, files, NAME, today=date(2026, 3, 9))
    with club_file(folder) as connection:
        for name, role, player in (
            (NAME, "player", CODE),
            ("Ms Quist", "guardian", CODE),
            ("Ida", "player", "QVX70"),
            (f"{NAME} jun.", "player", "QVX7-B"),
        ):
            account = connection.execute(
                "insert into accounts (name, name_key, role, made_at) values (?, ?, ?, ?)",
                [name, name.casefold(), role, now_utc()],
            ).lastrowid
            connection.execute("insert into account_players values (?, ?)", [account, player])
        for account, name, event, player, about in (
            (1, NAME, "load", CODE, f"batch 4, {WEEK}"),
            (1, NAME, "sign-in", None, "by password"),
            (8, "Ida", "load", None, f"{WEEK}: batch 4, 4 lines accepted"),
            (9, FORMER, "sign-in", None, "by password"),
            (8, "Ida", "account", None, f"{FORMER}, player {CODE}: removed"),
        ):
            connection.execute(
                "insert into trail (happened_at, account, name, event, player, about, address)"
                " values (?, ?, ?, ?, ?, ?, '192.0.2.7')",
                [now_utc(), account, name, event, player, about],
            )
        for block, player in (("a" * 32, CODE), ("b" * 32, "QVX70")):
            described = json.dumps({"values": {"player": player, "coach": NAME}, "feeds": []})
            connection.execute(
                "insert into table_blocks"
                " (block, player, session_date, session, described, state, begun_at, changed_at)"
                " values (?, ?, '2026-03-02', '1', ?, 'counting', ?, ?)",
                [block, player, described, now_utc(), now_utc()],
            )
        for player in (CODE, "QVX70"):
            described = json.dumps([{"kinds": [{"feed": {"setup": f"where {NAME} stands"}}]}])
            connection.execute(
                "insert into plans (player, meant_for, account, made_at, minutes, balls, described)"
                " values (?, '2026-03-04', 1, ?, 30, 60, ?)",
                [player, now_utc(), described],
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
    text = everything_in(folder.path)
    for other in OTHERS:
        text = text.replace(other.casefold(), "")
    return any(word.casefold() in text for word in (CODE, NAME, FORMER))


def lines_of_the_log(folder: DataFolder) -> list[tuple[object, ...]]:
    return ask(folder, "select player_id, block, balls, good from core.fed_lines order by all").rows()


def test_no_file_of_the_folder_names_a_forgotten_player(whole_club, lines_kept, lines_gone):
    assert is_named_in(whole_club)
    assert not is_named_in(lines_kept[0])
    assert not is_named_in(lines_gone[0])


def test_lines_can_stay_without_a_person(lines_kept):
    club, forgotten = lines_kept

    assert (forgotten.code, forgotten.lines) == ("gone-1", 4)
    assert lines_of_the_log(club) == [*LINES_OF_OTHERS, ("gone-1", 1, 40, 30)]
    player = ask(club, "select * from core.players where player_id = 'gone-1'").row(0, named=True)
    known = {name for name, value in player.items() if value is not None}
    assert known == {"club_id", "player_id", "name", "handedness", "is_active"}
    assert (player["name"], player["is_active"]) == ("gone-1", False)


def test_lines_can_go_with_the_person_and_nobody_else_loses_any(lines_gone):
    club, forgotten = lines_gone

    assert (forgotten.code, forgotten.lines) == (None, 4)
    assert lines_of_the_log(club) == LINES_OF_OTHERS
    assert ask(club, "select player_id from core.players order by 1").rows() == [("QVX7-B",), ("QVX70",)]


def test_others_keep_what_does_not_name_the_person(lines_kept):
    coaches = ask(lines_kept[0], "select coach, count(*) from core.fed_lines group by coach order by coach nulls last")

    assert coaches.rows() == [("M. Roe", 2), (f"{NAME} jun.", 1), (None, 1)]


def test_somebody_whose_name_or_code_begins_alike_keeps_both(lines_kept):
    """Another's code is the key of all that is theirs, their account too."""
    names = dict(ask(lines_kept[0], "select player_id, name from core.players").iter_rows())

    assert names == {"QVX70": "Ida Storr", "QVX7-B": f"{NAME} jun.", "gone-1": "gone-1"}
    assert lines_kept[1].accounts == (f"{NAME} jun.",)


def test_the_accounts_of_the_player_and_of_a_guardian_of_nobody_else_go(lines_kept):
    with club_file(lines_kept[0]) as connection:
        names = [row["name"] for row in connection.execute("select name from accounts order by name").fetchall()]

    assert names == ["Ida", f"{NAME} jun."]


def test_the_trail_keeps_what_was_done_without_saying_by_whom_and_from_where(lines_kept):
    with club_file(lines_kept[0]) as connection:
        rows = connection.execute("select name, event, player, about, address from trail order by entry").fetchall()

    assert [tuple(row) for row in rows] == [
        ("erased", "load", "erased", "erased", None),
        ("erased", "sign-in", None, "by password", None),
        ("Ida", "load", None, "erased_erased.csv: batch 4, 4 lines accepted", "192.0.2.7"),
        ("erased", "sign-in", None, "by password", None),
        ("Ida", "account", None, "erased, player erased: removed", "192.0.2.7"),
    ]


def test_taps_of_others_wait_on_without_the_persons_name(lines_kept):
    with club_file(lines_kept[0]) as connection:
        rows = connection.execute("select player, described from table_blocks").fetchall()

    assert [(row["player"], json.loads(row["described"])["values"]["coach"]) for row in rows] == [("QVX70", "erased")]


def test_a_plan_for_the_person_goes_and_that_of_another_stays_without_the_name(lines_kept):
    with club_file(lines_kept[0]) as connection:
        rows = connection.execute("select player, account, described from plans").fetchall()

    assert [(row["player"], row["account"]) for row in rows] == [("QVX70", None)]
    assert json.loads(rows[0]["described"])[0]["kinds"][0]["feed"] == {"setup": "where erased stands"}


def test_somebody_of_whom_nothing_but_a_plan_is_left_can_be_forgotten(club):
    with club_file(club) as connection:
        connection.execute("update plans set player = 'LEFT1' where player = 'QVX70'")

    forget(club, "LEFT1", keeps_lines=False)

    assert "left1" not in everything_in(club.path)


def test_refused_lines_of_the_person_or_with_their_name_are_emptied(lines_kept):
    with held(lines_kept[0]), warehouse(lines_kept[0]) as connection:
        refusals = connection.execute("select cells, seen from log.refusals").fetchall()

    assert refusals == [("[]", "erased")] * 2


def test_the_log_is_sound_after_an_erasure(lines_kept, lines_gone):
    assert verify(lines_kept[0]).findings == ()
    assert verify(lines_gone[0]).findings == ()


def test_a_file_that_names_the_person_does_not_bring_them_back_and_the_next_to_leave_gets_another_code(club):
    """The club may still hold the file; the same bytes change nothing."""
    forget(club, CODE, keeps_lines=True)

    load(club, [Incoming(WEEK, FILES[WEEK].encode())], "tester", today=date(2026, 3, 9))

    assert not is_named_in(club)
    assert forget(club, "QVX70", keeps_lines=True).code == "gone-2"


def test_a_forgotten_player_whom_a_later_file_names_is_refused_and_can_be_forgotten_again(club):
    """A new file with an old line in it: nobody of this code is known any more, but the refusal holds the code."""
    forget(club, CODE, keeps_lines=False)
    again = f"session_date,player,setup,spin,length,balls,good\n2026-03-03,{CODE},B,topspin,long,40,30\n"
    (report,) = load(club, [Incoming("again.csv", again.encode())], "tester", today=date(2026, 3, 9))
    assert (report.lines_accepted, is_named_in(club)) == (0, True)

    forget(club, CODE, keeps_lines=False)

    assert not is_named_in(club)


def test_the_log_takes_new_lines_after_an_erasure(club):
    forget(club, CODE, keeps_lines=True)
    new = "session_date,player,setup,spin,length,balls,good\n2026-03-04,QVX70,B,topspin,long,30,30\n"

    load(club, [Incoming("new.csv", new.encode())], "tester", today=date(2026, 3, 9))

    assert ("QVX70", 1, 30, 30) in lines_of_the_log(club)
    assert verify(club).findings == ()


def test_backups_that_still_hold_the_person_are_named(club, tmp_path):
    back_up(club, tmp_path / "before.zip")

    (backup,) = forget(club, CODE, keeps_lines=True).backups

    assert backup.file == (tmp_path / "before.zip").resolve()


def test_a_code_that_nobody_has_is_told(club):
    with pytest.raises(NobodyStored, match="saw 'NOBODY', expected the code of a player"):
        forget(club, "NOBODY", keeps_lines=True)


def test_a_target_for_everybody_is_nobodys_whatever_somebody_typed_into_an_address(club):
    """The trail notes for whom somebody was refused, even where that is no player."""
    with club_file(club) as connection:
        connection.execute("update trail set player = '*' where entry = 2")

    assert forget(club, "*", keeps_lines=False).lines == 0

    with held(club), warehouse(club) as connection:
        receivers = connection.execute("select applies_to from log.targets order by 1").fetchall()
    assert receivers == [("*",), ("*",), (CODE,), (CODE,)]


@pytest.mark.parametrize(
    "place", ["sql.forgetting.erase_from_log", "sql.forgetting.build", "sql.forgetting.forget_in_club_file"]
)
def test_an_erasure_that_was_cut_off_can_be_given_again(club, monkeypatch, place):
    """The names stand in the log, the account in the club file: whichever is left must lead to the rest."""

    def power_cut(*_: object) -> int:
        raise KeyboardInterrupt

    with monkeypatch.context() as cut:
        cut.setattr(place, power_cut)
        with pytest.raises(KeyboardInterrupt):
            forget(club, CODE, keeps_lines=True)

    forget(club, CODE, keeps_lines=True)

    assert not is_named_in(club)


def test_all_that_is_stored_of_a_player_can_be_taken_away(whole_club):
    tables = stored_of_player(whole_club, CODE)

    lines = tables["log.sessions"]
    assert lines["player"].unique().to_list() == [CODE]
    assert lines.select("balls", "good", "note").rows() == [(40, 30, "tired today")]
    assert tables["core.fed_lines"].select("player_id", "balls").rows() == [(CODE, 40)]
    assert tables["log.targets"]["value"].to_list() == ["topspin", "backspin"]
    assert {"column": "note", "typed": "refused"} in tables["log.refusals"].select("column", "typed").to_dicts()
    assert tables["club.accounts"]["name"].to_list() == [NAME, "Ms Quist"]
    assert tables["club.plans"].select("player", "meant_for", "balls").rows() == [(CODE, "2026-03-04", 60)]
    assert tables["club.trail"].select("event", "address").rows() == [("load", "192.0.2.7"), ("sign-in", "192.0.2.7")]


def test_nothing_of_anybody_else_is_in_what_a_player_takes_away(whole_club):
    tables = stored_of_player(whole_club, CODE)

    text = "\n".join(table.write_csv() for table in tables.values())
    assert not [other for other in (*OTHERS, "Ida") if other in text]


def test_of_somebody_who_was_refused_a_player_is_not_told_the_name(club):
    with club_file(club) as connection:
        connection.execute(
            "insert into trail (happened_at, account, name, event, player, about, address)"
            " values (?, 3, 'Ida', 'refusal', ?, 'the data of this player', '192.0.2.8')",
            [now_utc(), CODE],
        )

    refusal = stored_of_player(club, CODE)["club.trail"].filter(event="refusal").row(0, named=True)

    assert (refusal["about"], refusal["name"], refusal["address"]) == ("the data of this player", None, None)


@pytest.mark.parametrize("code", ["QVX", "*", "Juniors"])
def test_of_a_code_that_nobody_has_nothing_can_be_taken_away(club, code):
    with pytest.raises(NobodyStored):
        stored_of_player(club, code)


NOTES = (
    "session_date,player,block,setup,spin,length,balls,good,note\n"
    "2026-03-03,QVX70,4,B,topspin,long,40,20,quist helped to collect\n"
    "2026-03-03,QVX70,5,B,topspin,long,40,20,Mr Quist senior was here\n"
    "2026-03-03,QVX70,6,B,topspin,long,40,20,ZEBULON QUIST again\n"
    f"2026-03-03,{CODE},7,B,topspin,long,40,20,Quist writes of himself\n"
)


def notes_of_others(folder: DataFolder) -> list[str | None]:
    with held(folder), warehouse(folder) as connection:
        rows = connection.execute("select note from log.sessions where player = 'QVX70' and block > 3 order by block")
        return [note for (note,) in rows.fetchall()]


def test_where_the_surname_stands_alone_somebody_says_whom_it_means(club: DataFolder) -> None:
    load(club, [Incoming("notes.csv", NOTES.encode())], "M. Roe", today=date(2026, 3, 9))
    with club_file(club) as connection:
        connection.execute("insert into notes_to_players values ('QVX70', null, ?, 'Play with Zebulon!')", [now_utc()])
    found = {(one.place, one.text) for one in mentions(club, CODE)}
    assert ("sessions: note", "quist helped to collect") in found
    assert ("sessions: note", "Mr Quist senior was here") in found
    assert ("what a coach says to the player: note", "Play with Zebulon!") in found
    texts = {text for _, text in found}
    assert not texts & {"ZEBULON QUIST again", "Quist writes of himself"}, "these go in any case"
    assert not any(f"{NAME} jun." in text for text in texts), "that is somebody else"

    forget(club, CODE, keeps_lines=True, meant_in=texts - {"Mr Quist senior was here"})

    assert notes_of_others(club) == [None, "Mr Quist senior was here", None]
    with club_file(club) as connection:
        (note,) = connection.execute("select note from notes_to_players").fetchone()
    assert note == "Play with erased!"
    assert verify(club).findings == ()


def test_of_nobody_nothing_is_mentioned(club: DataFolder) -> None:
    with pytest.raises(NobodyStored):
        mentions(club, "NOBODY")
