"""What stays as it was and what changes for the past: clocks, calendars, people and places that change, erasures."""

import shutil
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from ingest.loading import Incoming, Report, load, withdraw
from sql.backup import back_up, restore
from sql.catalogue import models_in_order
from sql.folder import DataFolder
from sql.forgetting import forget
from sql.verify import verify
from sql.warehouse import ask, held, warehouse
from tests.few_tables import few_tables
from tests.sql.clubs import Club, Row, a_club

LINES = "player_id, session_date, session_id, week, balls, depth, side"


@pytest.fixture
def club() -> Iterator[Club]:
    """A right-handed player of the juniors, and a feeder that stands back and far to the right."""
    with a_club() as club:
        club.load("players", {"player": "P1", "handedness": "right", "group": "Juniors"})
        club.load("setups", {"setup": "R", "x_cm": -20, "y_cm": 60})
        yield club


def train(club: Club, day: str, balls: int = 20, **more: object) -> int:
    """One batch with one line of that day."""
    loaded_at = more.pop("loaded_at", datetime.fromisoformat("2026-11-25"))
    line = {"player": "P1", "setup": "R", "session_date": day, "balls": balls, "good": 10, **more}
    return club.load("sessions", line, loaded_at=loaded_at)


def built(club: Club, *tables: str) -> Club:
    """The club with these tables, made anew."""
    club.connection.execute("drop schema if exists core cascade; drop schema if exists report cascade")
    return club.build(*tables)


def lines(club: Club) -> list[Row]:
    return built(club, "core.fed_lines").rows("core.fed_lines", LINES)


def test_of_two_corrections_the_later_batch_is_in_force_though_the_clock_was_set_back(club: Club) -> None:
    train(club, "2026-03-03", balls=30, loaded_at=datetime.fromisoformat("2026-03-09"))
    train(club, "2026-03-03", balls=40, loaded_at=datetime.fromisoformat("2026-03-02"))

    assert [line["balls"] for line in lines(club)] == [40]


def test_a_line_refused_before_the_clock_was_set_back_is_mended_by_the_later_batch(club: Club) -> None:
    refused = club.store(
        "sessions", [], [{"line": 2, "session_date": date(2026, 3, 3)}], loaded_at=datetime.fromisoformat("2026-03-09")
    )
    club.load("sessions", {"player": "P1", "setup": "R"}, loaded_at=datetime.fromisoformat("2026-03-02"))
    club.connection.execute("update log.sessions set mends = ?", [f"{refused}:2"])

    assert built(club, "core.refusals").row("core.refusals", "is_mended") == {"is_mended": True}


@pytest.mark.parametrize("night", ["2026-03-29", "2026-10-25"], ids=["hour that is skipped", "hour that comes twice"])
def test_a_session_in_the_night_when_clocks_change_is_one_session_of_its_day(club: Club, night: str) -> None:
    """In central Europe, by Directive 2000/84/EC: the last Sundays of March and October 2026."""
    train(club, night, session="02:30")
    train(club, night, session="02:30", block=2)

    sessions = built(club, "core.sessions").rows("core.sessions", "session_date, balls")

    assert sessions == [{"session_date": date.fromisoformat(night), "balls": 40}]


def test_where_on_earth_the_computer_stands_changes_no_answer(club: Club) -> None:
    """Fourteen hours east and ten hours west of Greenwich."""
    tables = [model.table for model in models_in_order() if model.name not in ("this_build", "build")]
    train(club, "2026-03-29", session="02:30")
    club.store("sessions", [], [{"line": 2, "session_date": date(2026, 3, 3)}])

    answers = []
    for zone in ("Pacific/Kiritimati", "Pacific/Honolulu"):
        club.connection.execute(f"set timezone = '{zone}'")
        everything = built(club, *tables)
        answers.append([everything.rows(table) for table in tables])

    assert answers[0] == answers[1]


def test_week_53_has_seven_days_and_runs_into_the_new_year(club: Club) -> None:
    """ISO 8601: 2026 has 53 weeks; held against Python's own calendar."""
    days = [date(2026, 12, 21) + timedelta(days=n) for n in range(21)]
    for day in days:
        train(club, day.isoformat())

    weeks = {line["session_date"]: line["week"] for line in lines(club)}

    assert {day: week.isocalendar()[:2] for day, week in weeks.items()} == {day: day.isocalendar()[:2] for day in days}
    assert date(2027, 1, 3).isocalendar()[:2] == (2026, 53)
    assert [row["week"] for row in built(club, "core.weeks").rows("core.weeks")] == sorted(set(weeks.values()))


def test_a_session_past_midnight_is_of_the_day_that_its_lines_name(club: Club) -> None:
    """Lines after midnight that keep the day on which the session began stay in it; others are another session."""
    train(club, "2026-03-03", session="23:00")
    train(club, "2026-03-03", session="23:00", block=2)
    train(club, "2026-03-04", session="23:00", block=3)

    sessions = built(club, "core.sessions").rows("core.sessions", "session_date, blocks")

    assert [(row["session_date"].day, row["blocks"]) for row in sessions] == [(3, 2), (4, 1)]


def test_a_player_who_changes_groups_has_the_target_of_the_new_group_until_that_is_withdrawn(club: Club) -> None:
    train(club, "2026-03-03")
    for group, value in (("Juniors", "backspin"), ("Seniors", "topspin")):
        club.load(
            "targets",
            {"target": group, "applies_to": group, "dimension": "spin_family", "value": value, "share": 1},
        )
    moved = club.load("players", {"player": "P1", "handedness": "right", "group": "Seniors"})

    assert built(club, "core.player_targets").row("core.player_targets")["target"] == "Seniors"
    club.withdraw(moved)
    assert built(club, "core.player_targets").row("core.player_targets")["target"] == "Juniors"


def test_a_changed_hand_holds_for_the_past_too_until_it_is_withdrawn(club: Club) -> None:
    """The hand is a fact about the player, not about the day: what was met is seen from the hand as last loaded."""
    train(club, "2026-03-03")
    changed = club.load("players", {"player": "P1", "handedness": "left"})

    assert [line["side"] for line in lines(club)] == ["backhand"]
    club.withdraw(changed)
    assert [line["side"] for line in lines(club)] == ["forehand"]


def test_a_code_used_again_for_another_place_counts_from_its_day_and_can_be_taken_back(club: Club) -> None:
    elsewhere = club.load("setups", {"setup": "R", "x_cm": 120, "y_cm": -60, "valid_from": "2026-03-10"})
    for day in ("2026-03-09", "2026-03-10"):
        train(club, day)

    assert [(line["depth"], line["side"]) for line in lines(club)] == [("back", "forehand"), ("near", "backhand")]
    club.withdraw(elsewhere)
    assert [(line["depth"], line["side"]) for line in lines(club)] == [("back", "forehand")] * 2


def test_a_place_corrected_for_the_same_day_is_corrected_for_the_past(club: Club) -> None:
    train(club, "2026-03-03")
    club.load("setups", {"setup": "R", "x_cm": 120, "y_cm": 60})

    assert [line["depth"] for line in lines(club)] == ["near"]


def test_a_changed_setting_is_applied_to_the_past_and_stands_in_the_build() -> None:
    """The log is the same; a limit moved by ten centimetres makes another depth of every week."""
    depths = {}
    for limit in (30, -30):
        with a_club(back_below_cm=limit) as club:
            club.load("players", {"player": "P1", "handedness": "right"})
            club.load("setups", {"setup": "R", "x_cm": -20, "y_cm": 60})
            train(club, "2026-03-03")
            depths[limit] = lines(club)[0]["depth"]
            assert f'"back_below_cm":{limit}' in built(club, "report.build").row("report.build")["settings"]

    assert depths == {30: "back", -30: "middle"}


TODAY = date(2026, 3, 9)
PLAYERS = "player,name,handedness\nP1,Zebulon Quist,right\nP2,Ida Storr,right\n"
WEEK = "session_date,player,setup,spin,length,balls,good\n2026-03-03,P1,B,backspin,short,30,9\n"
FIRST, CORRECTED = (WEEK + f"2026-03-03,P2,B,backspin,short,{balls},9\n" for balls in (20, 25))
CORRECTED = CORRECTED.replace("short,30", "short,35")


@pytest.fixture(scope="module")
def _few_tables() -> Iterator[None]:
    with few_tables():
        yield


@pytest.fixture(scope="module")
def whole_folder(_few_tables: None, tmp_path_factory: pytest.TempPathFactory) -> DataFolder:
    """Batches 3 and 4: a log of two players, and the same with both lines corrected. Only to be copied."""
    folder = DataFolder(tmp_path_factory.mktemp("whole") / "club")
    texts = {"players": PLAYERS, "setups": "setup,x_cm,y_cm\nB,-20,0\n", "first": FIRST, "corrected": CORRECTED}
    load(folder, [Incoming(f"{name}.csv", text.encode()) for name, text in texts.items()], "tester", today=TODAY)
    return folder


@pytest.fixture
def folder(whole_folder: DataFolder, tmp_path: Path) -> DataFolder:
    return DataFolder(Path(shutil.copytree(whole_folder.path, tmp_path / "club")))


def bring(folder: DataFolder, name: str, text: str) -> Report:
    (report,) = load(folder, [Incoming(f"{name}.csv", text.encode())], "tester", today=TODAY)
    return report


def balls_of(folder: DataFolder) -> dict[str, int]:
    return dict(ask(folder, "select player_id, balls from core.fed_lines order by player_id").iter_rows())


def test_an_erasure_changes_no_batch_but_those_that_held_the_person_and_no_number_of_any(folder: DataFolder) -> None:
    batches = "select batch, file_sha256, lines_accepted, withdrawn_at from log.batches order by batch"
    erased = "select batch from log.batches where erased_at is not null order by batch"

    def told(question: str) -> list[tuple[object, ...]]:
        with held(folder), warehouse(folder) as connection:
            return connection.execute(question).fetchall()

    before = told(batches)
    forget(folder, "P1", keeps_lines=False)

    assert told(batches) == before
    assert told(erased) == [(1,), (3,), (4,)]


@pytest.mark.parametrize(
    ("keeps_lines", "corrected", "first"),
    [(True, {"P2": 25, "gone-1": 35}, {"P2": 20, "gone-1": 30}), (False, {"P2": 25}, {"P2": 20})],
)
def test_a_withdrawal_after_an_erasure_gives_the_earlier_lines_back_and_not_the_person(
    folder: DataFolder, keeps_lines: bool, corrected: dict[str, int], first: dict[str, int]
) -> None:
    """What a batch superseded was erased too: all of the log is, in force or not."""
    assert balls_of(folder) == {"P1": 35, "P2": 25}
    forget(folder, "P1", keeps_lines=keeps_lines)
    assert balls_of(folder) == corrected

    withdraw(folder, 4, "tester")

    assert balls_of(folder) == first
    assert verify(folder).findings == ()


def test_a_batch_withdrawn_before_an_erasure_is_erased_too(folder: DataFolder) -> None:
    withdraw(folder, 4, "tester")
    forget(folder, "P1", keeps_lines=True)

    with held(folder), warehouse(folder) as connection:
        players = connection.execute("select distinct player from log.sessions order by 1").fetchall()
    assert players == [("P2",), ("gone-1",)]
    assert bring(folder, "corrected", CORRECTED).repeats_batch == 4


def test_the_file_of_an_erased_batch_is_not_taken_again_even_where_that_was_withdrawn(folder: DataFolder) -> None:
    """The others' lines in it come back by a file without the person's."""
    forget(folder, "P1", keeps_lines=False)
    withdraw(folder, 4, "tester")
    for text in (FIRST, CORRECTED, PLAYERS):
        assert bring(folder, "again", text).batch is None
    assert balls_of(folder) == {"P2": 20}

    bring(folder, "others", "\n".join(line for line in CORRECTED.splitlines() if ",P1," not in line))

    assert balls_of(folder) == {"P2": 25}


def test_another_list_of_players_that_names_a_forgotten_code_is_of_somebody_new(folder: DataFolder) -> None:
    """A code is not kept to be refused for ever: that would be to remember it. Lines kept without a person stay so."""
    forget(folder, "P1", keeps_lines=True)

    bring(folder, "new", "player,name,handedness\nP1,Mia Falk,left\n")
    bring(folder, "later", WEEK.replace("03-03", "03-05"))

    assert balls_of(folder) == {"P1": 30, "P2": 25, "gone-1": 35}
    names = dict(ask(folder, "select player_id, name from core.players").iter_rows())
    assert names == {"P1": "Mia Falk", "P2": "Ida Storr", "gone-1": "gone-1"}


def test_an_older_backup_brings_the_person_back_as_was_told_and_the_erasure_can_be_given_again(
    folder: DataFolder, tmp_path: Path
) -> None:
    backup, restored = tmp_path / "before.zip", DataFolder(tmp_path / "restored")
    back_up(folder, backup)
    assert [made.file for made in forget(folder, "P1", keeps_lines=True).backups] == [backup]

    restore(backup, restored)

    assert balls_of(restored) == {"P1": 35, "P2": 25}
    assert [made.file for made in forget(restored, "P1", keeps_lines=True).backups] == [backup]
    assert balls_of(restored) == balls_of(folder) == {"P2": 25, "gone-1": 35}
