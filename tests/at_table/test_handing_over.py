"""Finished blocks go into the log, each exactly once, whatever happens in between."""

import subprocess
import sys
import time
from collections.abc import Iterator

import pytest

from dashboard.at_table.handing_over import Worker, hand_over, is_handed_over
from ingest import loading
from ingest.loading import Incoming, load
from sql.club import accounts
from sql.club.blocks import Block, blocks_shown_to, try_again
from sql.club.file import club_file
from sql.club.taps import Scorer, store
from sql.folder import DataFolder
from sql.warehouse import held, warehouse
from tests.at_table.blocks import LONG_TOPSPIN, SHORT_BACKSPIN, PhoneBlock, Said, block_of
from tests.at_table.conftest import TODAY
from tests.few_tables import few_tables


@pytest.fixture(autouse=True)
def _few_tables() -> Iterator[None]:
    """What is published is not looked at here, but which blocks are."""
    with few_tables():
        yield


KILLED_BEFORE_THE_NOTE = """
import os, signal, sys
from datetime import date
from pathlib import Path
from dashboard.at_table import handing_over
from ingest import loading
from sql.folder import DataFolder
loading.is_current = lambda _: True
handing_over.settle = lambda *_: os.kill(os.getpid(), signal.SIGKILL)
handing_over.hand_over(DataFolder(Path(sys.argv[1])), date(2025, 3, 12))
"""


def counted(club: DataFolder, scorer: Scorer, *events: Said) -> None:
    with club_file(club) as connection:
        assert store(connection, scorer, events).held == []


def now(club: DataFolder, phone: PhoneBlock) -> Block:
    with club_file(club) as connection:
        block = block_of(connection, phone.block)
    assert block
    return block


def in_log(club: DataFolder, phone: PhoneBlock) -> list[tuple[int, int, str]]:
    """Block, ball and outcome of each ball in force of the phone's player and day."""
    question = "select block, ball, outcome from log.balls_in_force where player = ? and session_date = ? order by 1, 2"
    with held(club), warehouse(club) as connection:
        return connection.execute(question, [phone.player, phone.day]).fetchall()


def batches(club: DataFolder) -> list[tuple[str, str, int]]:
    """Source, maker and accepted lines of each batch in force that came from the table."""
    question = (
        "select source, loaded_by, lines_accepted from log.batches"
        " where source = 'table' and withdrawn_at is null order by batch"
    )
    with held(club), warehouse(club) as connection:
        return connection.execute(question).fetchall()


@pytest.fixture(autouse=True)
def builds(monkeypatch: pytest.MonkeyPatch) -> list[DataFolder]:
    """What stands in the log is what counts here; the builds, which take seconds, are only noted."""
    made: list[DataFolder] = []
    monkeypatch.setattr(loading, "is_current", lambda _: False)
    monkeypatch.setattr(loading, "build", lambda folder, *_: made.append(folder))
    return made


def test_a_finished_block_becomes_a_ball_log_in_the_name_of_its_maker(club: DataFolder, coach: Scorer) -> None:
    phone = PhoneBlock()
    wrong = phone.ball("missed")
    events = [phone.begin(), wrong, phone.undo(wrong), *phone.balls("good", "net", "wide"), phone.done(minutes=3)]
    counted(club, coach, *events)

    hand_over(club, TODAY)

    assert in_log(club, phone) == [(1, 1, "good"), (1, 2, "net"), (1, 3, "wide")]
    assert batches(club) == [("table", "M. Roe", 3)]
    assert (now(club, phone).state, now(club, phone).number, now(club, phone).message) == ("in_log", 1, None)


def test_a_block_gets_the_number_after_those_of_the_day_and_several_go_in_with_one_build(
    club: DataFolder, coach: Scorer, builds: list[DataFolder]
) -> None:
    """On 11 March Ada has the blocks 1 and 2 in the log already."""
    first, second = PhoneBlock(day="2025-03-11"), PhoneBlock(day="2025-03-11")
    for phone in (first, second):
        counted(club, coach, phone.begin(), phone.ball(), phone.done())

    hand_over(club, TODAY)

    assert [now(club, phone).number for phone in (first, second)] == [3, 4]
    assert builds == [club]


def test_each_ball_of_a_combination_is_logged_with_its_own_feed(club: DataFolder, coach: Scorer) -> None:
    phone = PhoneBlock()
    balls = [phone.ball("good", 1), phone.ball("net", 2), phone.ball("good", 1)]
    counted(club, coach, phone.begin(SHORT_BACKSPIN, LONG_TOPSPIN), *balls, phone.done())

    hand_over(club, TODAY)

    with held(club), warehouse(club) as connection:
        rows = connection.execute(
            "select feed, spin, length, setup, tempo_bpm from log.balls_in_force order by ball"
        ).fetchall()
    short, long = (1, "backspin", "short", "NC", None), (2, "topspin", "long", "BC", 40)
    assert rows == [short, long, short]


def test_killed_between_the_load_and_the_note_a_block_is_in_the_log_once(club: DataFolder, coach: Scorer) -> None:
    phone = PhoneBlock()
    counted(club, coach, phone.begin(), *phone.balls("good", "net"), phone.done())

    killed = subprocess.run([sys.executable, "-c", KILLED_BEFORE_THE_NOTE, club.path], check=False)
    state_then = now(club, phone).state
    hand_over(club, TODAY)

    assert (killed.returncode, state_then) == (-9, "done")
    assert now(club, phone).state == "in_log"
    assert in_log(club, phone) == [(1, 1, "good"), (1, 2, "net")]
    assert len(batches(club)) == 1


def test_a_block_handed_over_twice_changes_nothing_the_second_time(club: DataFolder, coach: Scorer) -> None:
    phone = PhoneBlock()
    counted(club, coach, phone.begin(), phone.ball(), phone.done())
    hand_over(club, TODAY)
    with club_file(club) as connection:
        connection.execute("update table_blocks set state = 'done'")

    hand_over(club, TODAY)

    assert in_log(club, phone) == [(1, 1, "good")]
    assert len(batches(club)) == 1


def test_a_refused_block_is_told_to_its_maker_and_the_coordinator_and_goes_in_once_that_is_mended(
    club: DataFolder, coach: Scorer, coordinator: Scorer
) -> None:
    phone = PhoneBlock()
    counted(club, coach, phone.begin(SHORT_BACKSPIN | {"setup": "NEW"}), *phone.balls("good", "net"), phone.done())
    hand_over(club, TODAY)
    with club_file(club) as connection:
        seen = [blocks_shown_to(connection, scorer) for scorer in (coach, coordinator)]
    with held(club), warehouse(club) as connection:
        refused = connection.execute(
            "select column_name, seen from log.refusals where column_name = 'setup'"
        ).fetchall()

    load(club, [Incoming("setups.csv", b"setup,x_cm,y_cm\r\nNEW,10,0\r\n")], "test", today=TODAY)
    with club_file(club) as connection:
        assert try_again(connection, coordinator, phone.block)
    hand_over(club, TODAY)

    assert [[block.state for block in blocks] for blocks in seen] == [["refused"], ["refused"]]
    assert "setup: saw NEW, expected the code of a setup that is loaded; to do:" in (seen[0][0].message or "")
    assert refused == [("setup", "NEW")] * 2
    assert (now(club, phone).state, now(club, phone).message) == ("in_log", None)
    assert in_log(club, phone) == [(1, 1, "good"), (1, 2, "net")]


def test_a_block_that_was_finished_without_its_phone_has_the_phones_last_word_in_the_log(
    club: DataFolder, coach: Scorer
) -> None:
    """The phone turns up again with an undone ball: the log then has one ball fewer, not the old one beside."""
    phone = PhoneBlock()
    first, second = phone.ball("good"), phone.ball("net")
    counted(club, coach, phone.begin(), first, second, phone.done())
    hand_over(club, TODAY)

    counted(club, coach, phone.undo(second), phone.done())
    hand_over(club, TODAY)

    assert in_log(club, phone) == [(1, 1, "good")]
    assert batches(club) == [("table", "M. Roe", 1)]


def test_a_block_without_a_ball_leaves_nothing_in_the_log(club: DataFolder, coach: Scorer) -> None:
    phone = PhoneBlock()
    ball = phone.ball()
    counted(club, coach, phone.begin(), ball, phone.undo(ball), phone.done())

    hand_over(club, TODAY)

    assert now(club, phone).state == "dropped"
    assert batches(club) == []


def test_what_is_in_the_way_is_told_with_the_block_which_goes_in_once_it_is_gone(
    club: DataFolder, coach: Scorer
) -> None:
    phone = PhoneBlock()
    counted(club, coach, phone.begin(), phone.ball(), phone.done())
    club.settings_file.write_text("window_days = 'many'\n")

    was_handed_over = is_handed_over(club)
    message_then = now(club, phone).message
    club.settings_file.unlink()

    assert not was_handed_over
    assert "window_days" in (message_then or "")
    assert is_handed_over(club)
    assert (now(club, phone).state, now(club, phone).message) == ("in_log", None)


def test_a_serving_process_hands_over_what_an_earlier_one_left(club: DataFolder, coach: Scorer) -> None:
    phone = PhoneBlock()
    counted(club, coach, phone.begin(), phone.ball(), phone.done())

    Worker(club).start()

    deadline = time.monotonic() + 60
    while now(club, phone).state == "done" and time.monotonic() < deadline:
        time.sleep(0.1)
    assert now(club, phone).state == "in_log"


def test_a_block_of_somebody_who_has_left_since_goes_in_all_the_same(club: DataFolder, coach: Scorer) -> None:
    phone = PhoneBlock()
    counted(club, coach, phone.begin(), phone.ball(), phone.done())
    with club_file(club) as connection:
        maker = accounts.by_number(connection, coach.account)
        assert maker
        accounts.remove(connection, maker)

    hand_over(club, TODAY)

    assert batches(club) == [("table", "somebody who has left", 1)]


@pytest.mark.parametrize("note", ["=1+1", 'she said "again"', "a;b,c\td", "žluťoučký kůň", "7,5", "2025-03-12"])
def test_whatever_stands_in_a_note_comes_back_from_the_log_as_it_was(
    club: DataFolder, coach: Scorer, note: str
) -> None:
    phone = PhoneBlock()
    counted(club, coach, phone.begin(), phone.ball(), phone.done(note=note))

    hand_over(club, TODAY)

    with held(club), warehouse(club) as connection:
        notes = connection.execute("select note from log.balls_in_force").fetchall()
    assert notes == [(note,)]
