"""What becomes of the answers when a later batch corrects an earlier one, or a batch is withdrawn."""

from collections.abc import Iterator
from datetime import date

import pytest

from sql.catalogue import models_in_order
from sql.log_book import CannotWithdraw
from sql.warehouse import transaction
from tests.sql.clubs import Club, a_club, a_trained_club, line_of

TUESDAY = date(2026, 3, 3)


@pytest.fixture
def club() -> Iterator[Club]:
    """A right-handed player, and a feeder that stands back and far to the right."""
    with a_club() as club:
        club.load("players", {"player": "P1", "handedness": "right"})
        club.load("setups", {"setup": "R", "x_cm": -20, "y_cm": 60})
        yield club


def log(club: Club, *counts: tuple[int, int]) -> int:
    """One batch of blocks 1, 2, ... with these balls and good balls."""
    blocks = enumerate(counts, start=1)
    lines = [{"player": "P1", "setup": "R", "block": at, "balls": balls, "good": good} for at, (balls, good) in blocks]
    return club.load("sessions", *lines)


def counts(club: Club) -> list[tuple[int, int]]:
    return [(row["balls"], row["good"]) for row in club.build("core.fed_lines").rows("core.fed_lines", "balls, good")]


def test_a_later_batch_corrects_line_by_line(club):
    log(club, (20, 10), (30, 15))
    log(club, (20, 12))

    assert counts(club) == [(20, 12), (30, 15)]


def test_the_same_batch_again_changes_no_answer(club):
    log(club, (20, 10), (30, 15))
    log(club, (20, 10), (30, 15))

    assert counts(club) == [(20, 10), (30, 15)]


def test_a_withdrawn_correction_gives_the_earlier_line_back(club):
    log(club, (20, 10))
    correction = log(club, (20, 12))
    club.withdraw(correction)

    assert counts(club) == [(20, 10)]


def test_withdrawing_the_first_of_two_leaves_the_correction_alone(club):
    first = log(club, (20, 10), (30, 15))
    log(club, (20, 12))
    club.withdraw(first)

    assert counts(club) == [(20, 12)]


def test_a_withdrawn_ball_log_gives_the_counted_line_back(club):
    log(club, (20, 10))
    balls = club.load("balls", {"player": "P1", "setup": "R", "ball": 1, "outcome": "net"})
    club.withdraw(balls)

    assert counts(club) == [(20, 10)]


def test_a_player_whose_hand_is_corrected_has_met_the_other_side(club):
    log(club, (20, 10))
    club.load("players", {"player": "P1", "handedness": "left"})

    assert club.build("core.fed_lines").row("core.fed_lines")["side"] == "backhand"


def test_a_setup_that_moves_later_leaves_what_was_trained_before(club):
    club.load("setups", {"setup": "R", "x_cm": 120, "y_cm": -60, "valid_from": "2026-03-10"})
    for day in ("2026-03-09", "2026-03-10"):
        club.load("sessions", {"player": "P1", "setup": "R", "session_date": day})

    places = [(row["depth"], row["side"]) for row in club.build("core.fed_lines").rows("core.fed_lines")]

    assert places == [("back", "forehand"), ("near", "backhand")]


def test_a_withdrawn_target_leaves_no_grid(club):
    log(club, (20, 10))
    target = club.load("targets", {"dimension": "depth", "value": "back", "share": 1})
    club.withdraw(target)

    assert club.build("report.variety", "report.coverage").row("report.variety")["cells"] is None
    assert club.rows("report.coverage") == []


@pytest.mark.parametrize("needed", [1, 2], ids=["players", "setups"])
def test_players_and_setups_stay_while_lines_name_them(club, needed):
    log(club, (20, 10))

    with pytest.raises(CannotWithdraw, match=r"batches 3\)"), transaction(club.connection):
        club.withdraw(needed)

    assert counts(club) == [(20, 10)]


def refuse_and_mend(club: Club) -> int:
    """Batch 3 has a refused line with two faults; the number of the batch that mends it."""
    refused = {"line": 2, "session_date": TUESDAY}
    club.store("sessions", [], [refused, refused | {"fault": 2}])
    mended = {"line": 2, "mends": "3:2"} | line_of("sessions", {"player": "P1", "setup": "R"})
    return club.store("sessions", [mended], [])


def test_a_mended_line_no_longer_counts_as_refused(club):
    refuse_and_mend(club)

    assert club.build("report.club_week").row("report.club_week")["lines_refused"] == 0


def test_a_refused_line_counts_again_once_when_its_mending_is_withdrawn(club):
    club.withdraw(refuse_and_mend(club))

    assert club.build("report.club_week").row("report.club_week")["lines_refused"] == 1


def test_twelve_blocks_of_one_ball_have_no_order():
    """Nothing was seen to follow anything."""
    spins = ("backspin", "topspin") * 6
    lines = [{"ball": 1, "outcome": "good", "spin": spin} for spin in spins]

    with a_trained_club({"P1": lines}, {}, "report.schedule", kind="balls") as club:
        seen = club.row("report.schedule")

    assert (seen["balls"], seen["conditions"], seen["switch_rate"], seen["order_seen"]) == (12, 2, None, None)


def test_an_empty_club_has_empty_reports_and_a_build():
    with a_club() as club:
        club.build()

        assert tuple(club.row("report.build")[name] for name in ("batches", "lines", "balls")) == (0, 0, 0)
        assert club.rows("report.club_week") + club.rows("report.variety") + club.rows("report.coverage") == []


def test_two_builds_of_the_same_log_say_the_same(club):
    """The order of rows and every last digit."""
    log(club, (23, 7), (41, 13))
    tables = [model.table for model in models_in_order() if model.name not in ("this_build", "build")]

    club.build()
    first = [club.rows(table) for table in tables]
    club.connection.execute("drop schema core cascade; drop schema report cascade")
    club.build()

    assert first == [club.rows(table) for table in tables]
