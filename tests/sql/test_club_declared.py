"""A table that is new in the club file is forgotten by nobody: a made-up one is met by whatever goes through them all.

Undeclared it stops everything; declared it is checked, kept in a backup, taken away and erased without another line.
"""

import json
import shutil
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from ingest.loading import Incoming, load
from sql.backup import back_up, restore
from sql.club import declared
from sql.club import file as door
from sql.club.check import club_faults
from sql.club.declaration_check import Undeclared, declared_tables
from sql.club.declaring import ClubTable, Erasure, Holds
from sql.club.erasing import erase_words, forget_in_club_file, is_in_club_file
from sql.club.file import ClubConnection, club_file
from sql.club.keeping import copy_club_file, empty_what_does_not_survive
from sql.club.taking_away import rows_of_player
from sql.folder import DataFolder, FolderProblem
from sql.forgetting import forget
from sql.person import Person
from sql.stored_of_player import stored_of_player
from tests.few_tables import few_tables

ADA = Person("ADA", frozenset({"ADA", "Ada Lind"}))

WISHES = """
create table wishes (
    wish integer primary key autoincrement,
    player text not null,
    account integer references accounts on delete set null,
    wished text not null,
    described text not null,
    token text not null
) strict;
"""

DECLARED = ClubTable(
    "wishes",
    "what the player wishes to train",
    {
        "wish": Holds.KEY,
        "player": Holds.PLAYER,
        "account": Holds.ACCOUNT,
        "wished": Holds.WORDS,
        "described": Holds.WORDS_IN_JSON,
        "token": Holds.SECRET,
    },
    Erasure.ROWS,
)


@pytest.fixture
def with_wishes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> DataFolder:
    """A club whose file is about to get one table more than is declared."""
    steps = Path(shutil.copytree(door.MIGRATIONS, tmp_path / "steps"))
    (steps / "9999_wishes.sql").write_text(WISHES, encoding="utf-8")
    monkeypatch.setattr(door, "MIGRATIONS", steps)
    return DataFolder(tmp_path / "club")


def declare(monkeypatch: pytest.MonkeyPatch, table: ClubTable = DECLARED) -> None:
    monkeypatch.setattr(declared, "TABLES", (*declared.TABLES, table))


def wish(connection: ClubConnection, player: str, wished: str) -> None:
    connection.execute(
        "insert into wishes (player, wished, described, token) values (?, ?, ?, 'secret')",
        [player, wished, json.dumps({"with": wished})],
    )


def wishes(folder: DataFolder) -> list[tuple[str, str, str]]:
    with club_file(folder) as connection:
        rows = connection.execute("select player, wished, described from wishes order by wish").fetchall()
    return [(row["player"], row["wished"], json.loads(row["described"])["with"]) for row in rows]


def test_the_file_is_not_brought_up_to_date_with_a_table_that_nobody_declared(with_wishes: DataFolder) -> None:
    with pytest.raises(Undeclared, match="wishes"), club_file(with_wishes):
        pass


def test_nothing_goes_through_a_file_with_a_table_that_nobody_declared(
    with_wishes: DataFolder, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    with monkeypatch.context() as once:
        declare(once)
        with club_file(with_wishes) as connection:
            wish(connection, "ADA", "a long rally")

    for forgetful in (
        lambda: is_in_club_file(with_wishes, "ADA"),
        lambda: erase_words(with_wishes, ADA),
        lambda: forget_in_club_file(with_wishes, ADA),
        lambda: copy_club_file(with_wishes, tmp_path / "copy.sqlite"),
        lambda: empty_what_does_not_survive(with_wishes),
    ):
        with pytest.raises(Undeclared, match="wishes"):
            forgetful()
    with club_file(with_wishes) as connection, pytest.raises(Undeclared, match="wishes"):
        list(rows_of_player(connection, "ADA"))
    assert "wishes" in "; ".join(club_faults(with_wishes))


def test_a_declared_table_is_kept_taken_away_and_erased_like_any_other(
    with_wishes: DataFolder, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    declare(monkeypatch)
    people = "player,name,handedness,group\nADA,Ada Lind,left,Juniors\nBEN,Ben Frost,right,Juniors\n"
    with few_tables():
        load(with_wishes, [Incoming("players.csv", people.encode())], "test", today=date(2026, 3, 9))
        with club_file(with_wishes) as connection:
            wish(connection, "ADA", "topspin from the middle")
            wish(connection, "BEN", "a match against Ada Lind")
        assert club_faults(with_wishes) == []

        back_up(with_wishes, tmp_path / "backup.zip")
        restored = DataFolder(tmp_path / "restored")
        restore(tmp_path / "backup.zip", restored)
        assert wishes(restored) == wishes(with_wishes)

        taken = stored_of_player(with_wishes, "ADA")["club.wishes"]
        assert taken["wished"].to_list() == ["topspin from the middle"]
        assert "token" not in taken.columns

        forget(with_wishes, "ADA", keeps_lines=False)
    assert wishes(with_wishes) == [("BEN", "a match against erased", "a match against erased")]
    assert b"Ada Lind" not in with_wishes.club_file.read_bytes()


def test_a_table_that_opens_a_door_is_empty_after_a_restore(
    with_wishes: DataFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    declare(monkeypatch, replace(DECLARED, survives_restore=False))
    with club_file(with_wishes) as connection:
        wish(connection, "ADA", "to come in")

    empty_what_does_not_survive(with_wishes)

    assert wishes(with_wishes) == []


@pytest.mark.parametrize(
    ("table", "why"),
    [
        (replace(DECLARED, columns=DECLARED.columns | {"colour": Holds.NOBODY}), "has the columns"),
        (replace(DECLARED, erasure=Erasure.NOTHING), "would leave there"),
        (replace(DECLARED, erasure=Erasure.WITH_PARENT), "would leave there"),
        (
            replace(DECLARED, columns=DECLARED.columns | {"player": Holds.NOBODY}, not_taken_away="made up"),
            "could not tell whose",
        ),
        (
            replace(DECLARED, columns=DECLARED.columns | {"player": Holds.NOBODY}, erasure=Erasure.WITH_PARENT),
            "go with no row",
        ),
    ],
    ids=["another column", "an erasure forgets it", "it has no parent", "whose it is", "no cascade"],
)
def test_a_declaration_that_leaves_somebody_over_is_not_taken(
    with_wishes: DataFolder, monkeypatch: pytest.MonkeyPatch, table: ClubTable, why: str
) -> None:
    declare(monkeypatch, table)

    with pytest.raises(FolderProblem, match=why), club_file(with_wishes):
        pass


def test_every_table_of_ours_is_declared_and_says_what_a_player_takes_away_or_why_nothing(tmp_path: Path) -> None:
    with club_file(DataFolder(tmp_path)) as connection:
        tables = declared_tables(connection)

    assert {table.name for table in tables if not table.question} == {
        *("account_players", "account_groups", "failures", "hall_plans", "plan_patterns", "settings_changes"),
        *("passkeys", "passkey_challenges"),
    }
    assert all(table.question or table.not_taken_away for table in tables)
    assert {table.name for table in tables if not table.survives_restore} == {
        *("web_sessions", "invitations", "known_browsers", "account_news", "passkeys", "passkey_challenges")
    }
