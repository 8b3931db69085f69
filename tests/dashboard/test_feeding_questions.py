"""What the screens ask of feeding, of the demo club: setups, feeders, dials, and balls in physical terms."""

from datetime import date

import pytest

from dashboard import questions
from dashboard.questions import Desk, owners_desk
from demo_data.robot import ROBOT, SPEED_STEP_MPS
from demo_data.stories import BACK_CENTRE_ONLY, LEFT_HANDED
from models.coefficients import ALL_SETS
from models.permits import NotPermitted, Reader, Role
from models.words import ANGLE_BAND, TIME_BAND
from sql.folder import DataFolder

LAST_WEEK = date(2026, 11, 16)


@pytest.fixture(scope="module")
def desk(demo_club: DataFolder) -> Desk:
    return owners_desk(demo_club)


def test_a_setup_that_was_moved_is_told_where_it_stands_now_for_the_hand_that_is_asked(desk: Desk) -> None:
    (corner,) = [row for row in questions.setups_now(desk, "left") if row.setup_id == "BR"]

    assert (corner.x_cm, corner.y_cm, corner.feeder_id) == (-30, 70, ROBOT)
    assert (corner.depth, corner.side) == ("back", "backhand")
    assert corner.feeder_setup.name == corner.name
    assert len(questions.setups_now(desk)) == 2 * len(questions.setups_now(desk, "right"))


def test_a_calibrated_dial_comes_back_as_a_line_under_each_set_that_it_can_be_read_by(desk: Desk) -> None:
    lines = questions.dial_lines(desk, ROBOT, "speed")

    assert list(lines) == [each.name for each in ALL_SETS]
    for line in lines.values():
        assert line.covers(7)
        assert line.step.low < line.step.value < line.step.high
        assert line.steps_for(10, dial=7).value == pytest.approx(0.1 * line.at(7).value / line.slope)
    assert lines["A"].step.low < SPEED_STEP_MPS < lines["A"].step.high


def test_a_spin_that_a_set_cannot_explain_has_no_line_under_it(desk: Desk) -> None:
    rows = {row.coefficients: row for row in questions.dial_calibrations(desk, ROBOT) if row.dial == "spin"}

    assert (rows["D"].verdict, rows["D"].slope) == ("not_explained", None)
    assert "D" not in questions.dial_lines(desk, ROBOT, "spin")


def test_the_feeder_is_told_with_the_range_of_its_dials(desk: Desk) -> None:
    (feeder,) = questions.feeders(desk)

    assert (feeder.feeder_id, feeder.speed_dial_lowest, feeder.speed_dial_highest) == (ROBOT, 0, 10)


@pytest.mark.parametrize(("measure", "words"), [("angle", ANGLE_BAND), ("time", TIME_BAND)])
def test_what_a_player_met_in_physical_terms_comes_in_the_order_of_the_words(desk: Desk, measure, words) -> None:
    met = questions.physical_coverage(desk, LAST_WEEK, BACK_CENTRE_ONLY.player, measure)

    assert [row.band for row in met] == list(words.names)
    assert sum(row.share or 0 for row in met) == pytest.approx(1)
    assert {row.told_balls for row in met} == {sum(row.balls for row in met)}


def test_who_is_fed_from_the_back_centre_only_meets_no_sharp_angle_to_speak_of(desk: Desk) -> None:
    """The planted story, seen in angles: from there even the far corners lie within 15 degrees."""
    rows = questions.physical_coverage(desk, LAST_WEEK, BACK_CENTRE_ONLY.player, "angle")
    met = {row.band: row.share or 0 for row in rows}

    assert met["sharp_from_forehand"] + met["sharp_from_backhand"] < 0.05


def test_most_balls_of_the_left_hander_come_from_the_forehand_side(desk: Desk) -> None:
    met = {row.band: row.balls for row in questions.physical_coverage(desk, LAST_WEEK, LEFT_HANDED.player, "angle")}

    from_forehand = met["from_forehand"] + met["sharp_from_forehand"]
    assert from_forehand > 2 * (met["from_backhand"] + met["sharp_from_backhand"])


def test_doubtful_lengths_are_told_with_what_they_would_be(desk: Desk) -> None:
    """In the demo club, as in the trade, these are topspin balls that are said to be short or half-long."""
    doubtful = [
        row
        for player in questions.players(desk)
        if (row := questions.most_doubtful(desk, LAST_WEEK, player.player_id)) is not None
    ]

    assert doubtful
    assert {row.spin for row in doubtful} <= {"topspin", "heavy_topspin"}
    assert all(
        row.length not in ("long", row.length_by_physics) and row.balls <= row.doubtful_balls for row in doubtful
    )


def test_the_feeds_from_a_setup_are_ranges_and_agree_with_where_it_stands(desk: Desk) -> None:
    """The place of today, not the one from which the same setup fed before it was moved."""
    fed = questions.feeds_from_setup(desk, "BR", "right")

    assert fed
    assert all(row.time_low_s <= row.time_high_s and row.bounce_high_s < row.time_high_s for row in fed)
    middle = [row for row in fed if row.placement in (None, "middle") and row.sidespin in (None, "none")]
    assert {row.angle_band for row in middle} == {"from_forehand"}


def test_another_players_balls_are_not_told_to_a_player_but_the_places_of_feeders_are(desk: Desk) -> None:
    own = Reader("Lu", Role.PLAYER, players=frozenset({LEFT_HANDED.player}))
    as_player = Desk(desk.folder, own)

    with pytest.raises(NotPermitted):
        questions.physical_coverage(as_player, LAST_WEEK, BACK_CENTRE_ONLY.player, "angle")
    assert len(questions.physical_coverage(as_player, LAST_WEEK, LEFT_HANDED.player, "angle")) == len(ANGLE_BAND.names)
    assert questions.setups_now(as_player, "left")
