"""What stays as it was and what changes for the past: clocks, calendars, people and places that change."""

from collections.abc import Iterator
from datetime import date, datetime, timedelta

import pytest

from sql.catalogue import models_in_order
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
