"""The command `halflong plan GROUP --stations A,B`: who is at which table when, for people and for other programs."""

import csv
import io
import json
import shutil
from datetime import date, datetime
from itertools import pairwise
from pathlib import Path

import pytest
from icalendar import Calendar
from typer import BadParameter
from typer.testing import CliRunner, Result

from dashboard.command_line import app
from dashboard.commands import hall as hall_command
from dashboard.commands import plan as command
from dashboard.questions import owners_desk
from dashboard.services.halls import NoHallPlan
from dashboard.services.halls_kept import halls_of
from ingest.loading import load
from sql.folder import DataFolder
from tests.dashboard.conftest import SMALL_CLUB, incoming

TODAY = date(2025, 3, 13)


@pytest.fixture(autouse=True)
def _on_the_day(monkeypatch: pytest.MonkeyPatch) -> None:
    for module in (command, hall_command):
        monkeypatch.setattr(module, "today", lambda: TODAY)


def plan(folder: DataFolder, whom: str, stations: str, *more: str, minutes: int = 30) -> Result:
    arguments = ["plan", whom, "--stations", stations, "--minutes", str(minutes), *more, "--data", str(folder.path)]
    return CliRunner().invoke(app, arguments)


def test_people_are_told_who_is_where_what_is_fed_and_whether_it_could_be_better(built_club: DataFolder) -> None:
    said = plan(built_club, "Juniors", "robot").output

    assert "2 players at 1 table, 2 slots of 12 minutes; a feeder is moved once." in said
    assert "Everyone gets 120 balls" in said
    assert "Proven: no other plan of this hall brings more." in said
    assert "18:00 to 18:12" in said
    assert "18:00 Ada Lind: 30 balls: from the middle, topspin; Ben Orr gathers" in said
    assert said.count("Off and unplugged before you lift it") == 1


def test_a_plan_that_is_kept_is_offered_on_its_day(built_club: DataFolder, tmp_path: Path) -> None:
    own = DataFolder(Path(shutil.copytree(built_club.path, tmp_path / "club")))

    plan(own, "Juniors", "robot")
    assert halls_of(owners_desk(own), TODAY) == ()
    plan(own, "Juniors", "robot", "--keep")

    (kept,) = halls_of(owners_desk(own), TODAY)
    assert {turn.player for turn in kept.turns} == {"ADA", "BEN"}


def test_a_script_gets_the_time_axis_and_nobody_is_at_two_tables(built_club: DataFolder) -> None:
    told = json.loads(plan(built_club, "Juniors,CLEO", "robot,robot", "--format", "json").stdout)
    turns = [turn for slot in told["slots"] for table in slot["tables"] for turn in table["turns"]]
    times = sorted((turn["player"], turn["begins_at"]) for turn in turns)

    assert {turn["player"] for turn in turns} == {"ADA", "BEN", "CLEO"}
    assert all(one != other for one, other in pairwise(times))
    assert told["could_be_better_by"] == 0
    assert {table["name"] for table in told["tables"]} == {"Table 1, robot", "Table 2, robot"}


def test_a_spreadsheet_gets_one_line_for_each_turn(built_club: DataFolder) -> None:
    lines = list(csv.DictReader(io.StringIO(plan(built_club, "Juniors", "NC", "--format", "csv").stdout)))

    assert {line["setup"] for line in lines} == {"NC"}
    assert {line["depth"] for line in lines} == {"near"}
    assert {line["name"] for line in lines} == {"Ada Lind", "Ben Orr"}


def test_a_calendar_gets_one_event_for_each_table_and_slot_as_rfc_5545_has_it(built_club: DataFolder) -> None:
    """Read back by the library; RFC 5545, 3.6.1: an event has a UID and a DTSTAMP; 3.1: lines end with CR LF."""
    text = plan(built_club, "Juniors", "robot", "--format", "ics").stdout_bytes.decode()
    events = Calendar.from_ical(text).walk("VEVENT")

    assert text.count("\r\n") == text.count("\n")
    assert len({event["uid"] for event in events}) == len(events) == 2
    assert events[0].decoded("dtstart") == datetime(2025, 3, 13, 18, 0)  # noqa: DTZ001 the club names no zone
    assert events[0].decoded("dtend").minute == 12
    assert "Ada Lind" in str(events[0]["summary"])
    assert "DTSTAMP" in text


@pytest.mark.parametrize(
    ("whom", "stations", "minutes", "sentence"),
    [
        ("Juniors", " ", 30, "There is no feeder to plan with. Name each table by what feeds there"),
        ("Juniors", "robot", 200, "The club has the hall for 180 minutes .* and 200 were asked for. Give fewer"),
        ("Juniors,ADA", "robot", 30, "ADA is named 2 times: in two groups, or by name too. Name each player once"),
        ("Juniors", "NX", 30, "Table 1: no feeder and no setup 'NX' has a place: .* Did you mean NC"),
        ("Juniors", "robot,partner", 30, "Table 2: no setup for partner has a place"),
        ("Juniors", "NC,NC", 30, "NC is one feeder, and cannot stand at two tables"),
        ("Juniors", "robot", 2, "A turn of 30 balls takes 3 minutes, and 2 minutes"),
    ],
)
def test_what_cannot_be_is_told_in_a_sentence(built_club, whom, stations, minutes, sentence) -> None:
    refused = plan(built_club, whom, stations, minutes=minutes)

    assert isinstance(refused.exception, NoHallPlan) or "NoTurnFits" in type(refused.exception).__name__
    with pytest.raises(type(refused.exception), match=sentence):
        raise refused.exception


def test_a_calendar_of_one_player_s_plan_is_not_promised(built_club: DataFolder) -> None:
    refused = CliRunner().invoke(
        app,
        ["plan", "ADA", "--minutes", "30", "--format", "ics", "--data", str(built_club.path)],
        standalone_mode=False,
    )

    assert isinstance(refused.exception, BadParameter)


def test_who_has_no_target_is_named_and_the_others_are_planned(tmp_path: Path) -> None:
    folder = DataFolder(tmp_path / "club")
    files = SMALL_CLUB | {"targets.csv": SMALL_CLUB["targets.csv"].replace("first,*,", "first,ADA,")}
    load(folder, incoming(files), "test", today=date(2025, 3, 12))

    assert "No table here can feed what is wanted of Ben Orr." in plan(folder, "Juniors", "robot").output
