"""The trail: nobody buries it, and what another program changed in it is told."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing

import pytest

from models.permits import Reader, Role, owner
from sql.club import audit_trail
from sql.club.audit_trail import COUNTED_WITHIN, MOST_OF_A_KIND, Event, record
from sql.club.check import club_faults
from sql.club.file import ClubConnection, all_or_nothing, club_file
from sql.folder import DataFolder

CHILD = Reader("Ada Lind", Role.PLAYER, 3, frozenset({"ADA"}))


@pytest.fixture
def file(folder: DataFolder) -> Iterator[ClubConnection]:
    with club_file(folder) as connection:
        yield connection


def latest(file: ClubConnection, limit: int = 100) -> list[tuple[str | None, str, int]]:
    return [(entry.name, entry.about, entry.times) for entry in audit_trail.entries(file, owner("test"), limit)]


def test_nobody_buries_the_trail_under_refusals(file: ClubConnection) -> None:
    """The attack: a signed-in child asks a thousand times for what is not theirs, each time elsewhere."""
    record(file, Event.ERASURE, "a player", reader=owner("keeper"))
    for number in range(1000):
        record(file, Event.REFUSAL, f"GET /media/{number}: not shown", reader=CHILD, address="::1", kind="not shown")

    assert latest(file) == [("Ada Lind", "GET /media/0: not shown", 1000), ("keeper", "a player", 1)]


def test_nobody_buries_the_trail_by_asking_for_one_player_after_the_other(file: ClubConnection) -> None:
    for number in range(300):
        record(file, Event.REFUSAL, "the data of this player", reader=CHILD, player=f"P{number}")

    assert sum(times for _, _, times in latest(file)) == 300
    assert len(latest(file)) == MOST_OF_A_KIND


def test_refusals_of_others_from_elsewhere_and_of_another_kind_stand_by_themselves(file: ClubConnection) -> None:
    for address in ("192.0.2.7", "192.0.2.8", "192.0.2.7"):
        record(file, Event.REFUSAL, "sign-in as Ada Lind", address=address)
    record(file, Event.REFUSAL, "sign-in as M. Roe", address="192.0.2.7")
    record(file, Event.REFUSAL, "sign-in as Ada Lind", address="192.0.2.7", reader=CHILD)

    assert [times for _, _, times in latest(file)] == [1, 1, 1, 2]


def test_what_is_no_refusal_is_never_counted_together(file: ClubConnection) -> None:
    for _ in range(3):
        record(file, Event.EXPORT, "everything of ADA", reader=CHILD)

    assert [times for _, _, times in latest(file)] == [1, 1, 1]


def test_a_refusal_far_back_is_not_counted_up_where_nobody_looks(file: ClubConnection) -> None:
    record(file, Event.REFUSAL, "one", reader=CHILD)
    for number in range(COUNTED_WITHIN):
        record(file, Event.LOAD, f"batch {number}", reader=CHILD)
    record(file, Event.REFUSAL, "one", reader=CHILD)

    assert latest(file, 1) == [("Ada Lind", "one", 1)]


@pytest.fixture
def noted(folder: DataFolder) -> DataFolder:
    """A trail of six entries, one of which is counted twice."""
    with club_file(folder) as connection:
        for number in range(6):
            record(connection, Event.LOAD, f"batch {number}", reader=CHILD)
        for _ in range(2):
            record(connection, Event.REFUSAL, "one", reader=CHILD)
    return folder


def changed(folder: DataFolder, statement: str) -> list[str]:
    """What is told after another program did this."""
    with closing(sqlite3.connect(folder.club_file, isolation_level=None)) as connection:
        connection.execute(statement)
    return club_faults(folder)


def test_a_trail_that_nobody_touched_is_whole(noted: DataFolder) -> None:
    assert club_faults(noted) == []


@pytest.mark.parametrize(
    ("statement", "told"),
    [
        ("update trail set about = 'batch 9' where entry = 3", "entry 3"),
        ("update trail set happened_at = '2001' where entry = 1", "entry 1"),
        ("update trail set times = 1 where entry = 7", "entry 7"),
        ("update trail set name = null, seal = null where entry = 4", "entry 4"),
        ("delete from trail where entry = 3", "gap before entry 4"),
        ("delete from trail where entry <= 3", "gap before entry 4"),
        ("delete from trail where entry >= 6", "entries, 6 to 7, were taken out"),
        ("insert into trail (happened_at, event, about) values ('2026', 'load', 'x')", "entry 8"),
        ("update trail set entry = 30 where entry = 3", "before entry 4"),
        ("delete from trail", "were taken out"),
    ],
)
def test_a_change_or_a_gap_in_the_trail_is_told(noted: DataFolder, statement: str, told: str) -> None:
    (fault,) = changed(noted, statement)

    assert told in fault
    assert "another program" in fault


@pytest.mark.parametrize(
    "statement",
    [
        "update trail set about = 'batch 9' where entry = 3",
        "update trail set about = 'batch 9', seal = null where entry = 3",
        "insert into trail (happened_at, event, about) values ('2026', 'load', 'x')",
    ],
)
def test_a_break_is_not_sealed_over_by_what_comes_after(noted: DataFolder, statement: str) -> None:
    changed(noted, statement)
    with club_file(noted) as connection:
        record(connection, Event.LOAD, "batch 10", reader=CHILD)

    assert len(club_faults(noted)) == 1


def test_a_trail_from_before_there_were_seals_is_sealed_by_the_next_entry(noted: DataFolder) -> None:
    assert changed(noted, "update trail set seal = null") == []
    with club_file(noted) as connection:
        record(connection, Event.LOAD, "batch 10", reader=CHILD)

    assert club_faults(noted) == []
    assert len(changed(noted, "update trail set about = 'batch 9' where entry = 3")) == 1


def test_what_breaks_off_leaves_no_gap(noted: DataFolder) -> None:
    def work(connection: ClubConnection) -> None:
        with all_or_nothing(connection):
            record(connection, Event.LOAD, "batch 10", reader=CHILD)
            raise ZeroDivisionError

    with club_file(noted) as connection, pytest.raises(ZeroDivisionError):
        work(connection)

    assert club_faults(noted) == []
