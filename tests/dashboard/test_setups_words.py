"""What the Setups page says: left and right for player and coach, notes of check balls, and a moved feeder's advice."""

import csv
import io
from dataclasses import replace
from datetime import UTC, date, datetime
from functools import cache

import numpy as np
import pytest

from dashboard.drawings.setup_scene import ready_words, scene_of, stand_now
from dashboard.rows.feeding import DialRow, FeederRow
from dashboard.tables import setup as setup_tables
from dashboard.words.setup import beside, the_place, the_target, turn
from dashboard.words.setup_check import correction
from dashboard.words.setup_dial import dial_sentences, what_a_mark_does
from dashboard.words.setup_moved import (
    CURVE_WITHIN_DEG,
    advised,
    change_the_speed,
    faster,
    kind_of_ball,
    lower_and_earlier,
    no_such_ball,
    number,
    off,
    only_turned,
    time_to_react,
    turn_the_head,
)
from ingest.written_landings import as_landings_file
from models.bounds import FeederBeyondHall, NoSuchFeed, TargetOffTable
from models.check_ball import correct_head
from models.dial import fit_dial
from models.dial_advice import mark_before
from models.estimates import Span
from models.feeder_setup import FeederSetup
from models.landing_notes import NotALanding, landings_noted
from models.moved_ball import Ball, Moved, Played, moved, target_of
from models.stance import Place, head_turn_deg
from tests.dashboard.shown import rows
from tests.dashboard.some import some

CENTRE, CORNER, FORWARD = FeederSetup(0, 0), FeederSetup(0, 60), FeederSetup(70, 0)
SHORT_BACKSPIN = Ball("right", "backspin", "short", "backhand", "low", Place(172, -50))
"""The short ball of the first coaching rule, with its own target."""
WAY = (CENTRE.place, CORNER.place)
STRAIGHT = replace(SHORT_BACKSPIN, target=Place(172, 0))


@cache
def to_the_corner() -> Moved:
    return moved(CENTRE, CORNER, SHORT_BACKSPIN)


@cache
def forward() -> Moved:
    return moved(CENTRE, FORWARD, STRAIGHT)


# Left and right


def test_who_stands_behind_the_feeder_turns_the_other_way():
    """Facing the player, one's right is the player's left."""
    assert turn(-13.8) == "14° to the player's left (to your right, as you stand behind the feeder)"
    assert turn(13.8, 1) == "13.8° to the player's right (to your left, as you stand behind the feeder)"


def test_a_place_is_told_from_its_lines():
    assert the_place(Place(-30, 70)) == "30 cm behind its end line and 70 cm to the player's right"
    assert the_place(Place(60, 0)) == "60 cm in front of its end line and on the centre line"
    assert the_place(Place(0, -5)) == "on its end line and 5 cm to the player's left"
    assert the_target(Place(172, -50)) == "35 cm behind the net and 50 cm to the player's left"
    assert the_target(Place(245, 0)) == "29 cm before the player's end line and on the centre line"
    assert beside(0.4) == "on the centre line"


@pytest.mark.parametrize(("hand", "side"), [("right", "backhand side"), ("left", "forehand side")])
def test_the_ready_position_names_the_side_of_the_playing_hand(hand, side):
    scene = scene_of(Place(-40, 60), Place(245, 0), counts_short=True)
    first, other = ready_words(scene, hand)

    assert f"Be ready 32 cm to the left of the centre line ({side})" in first
    assert "bisector of the cone" in first
    assert "the middle of what must be reached, it would be 43 cm to the player's left" in other


def test_where_a_left_hander_now_stands_is_told_against_before():
    scene = scene_of(Place(-40, 60), Place(245, 0), counts_short=True, before=Place(-40, 0))

    assert stand_now(scene, "left", "Your left-handed player") == (
        "**Your left-handed player now stands 32 cm to the left of the centre line (forehand side)**: "
        "32 cm further to the left than before (on the centre line)."
    )


def test_a_feeder_moved_along_the_centre_line_leaves_the_player_where_he_was():
    scene = scene_of(Place(70, 0), Place(245, 0), counts_short=False, before=Place(0, 0))

    assert stand_now(scene, "right", "Ada") == "**Ada now stands on the centre line**, as before."


# A moved feeder


def test_to_the_corner_the_head_turns_and_the_short_ball_needs_nine_per_cent():
    """The first coaching rule, as a coach reads it: 16.4 degrees; 8.6 to 9.6 per cent; 8 cm over the net."""
    advice = to_the_corner()

    assert turn_the_head(*WAY, Place(172, -50)).startswith("**Turn the head 16° to the player's left (to your right")
    assert turn_the_head(*WAY, Place(172, -50)).endswith("At the distance of deep centre that is 74 cm.")
    assert "**Feed it 9 % faster (8.6 to 9.6 %), with its tilt as it is**" in change_the_speed(advice)
    assert "passes the net by 8 cm (before: 6 cm)" in change_the_speed(advice)


def test_only_turned_the_short_ball_goes_into_the_net():
    assert only_turned(to_the_corner()) == "**If you only turn the head, this ball goes into the net.**"


def test_the_table_of_ways_marks_the_net_and_keeps_what_it_says():
    table = rows(setup_tables.ways(to_the_corner()))

    assert table[0] == ["Way", "Speed", "Tilt of the head", "Over the net", "Lands"]
    assert table[1][3] == "✕ into the net (-5 to -4 cm)"
    assert table[1][4] == "–"
    assert table[2][4] == table[4][4] == "where it did"
    assert table[3][3] == table[4][3] == "6 cm"
    assert table[4][2].endswith("lower")


def test_from_the_corner_the_same_landing_runs_off_the_side_line_and_the_page_says_how_to_keep_it_short():
    ball = replace(SHORT_BACKSPIN, placement="middle", target=Place(172, -35))
    said = " ".join(kind_of_ball(moved(CENTRE, CORNER, ball), ball))

    assert "was **short** before the move" in said
    assert "**long (it runs off the side line)** now" in said
    assert "**To keep it short, feed it 3 % slower" in said


def test_where_a_length_stays_nothing_more_is_asked():
    assert kind_of_ball(forward(), STRAIGHT) == [
        "By the physics the ball was **short** before the move.",
        "Changed as told above it is **short** now.",
    ]


def test_a_length_the_calculations_disagree_about_is_told_by_how_many():
    """The landing of the first rule is on the very edge: the second bounce is 0.3 cm inside the side line."""
    said = kind_of_ball(to_the_corner(), SHORT_BACKSPIN)[0]

    assert "**short by 2 of 4 calculations, long (it runs off the side line) by 2**" in said


def test_forward_the_ball_comes_lower_and_earlier_and_is_never_called_flatter():
    """The second coaching rule."""
    said = str(lower_and_earlier(forward()))

    assert said.startswith("**From there the ball comes lower and earlier**: its arc 23 % lower")
    assert "flat" not in said
    assert turn_the_head(CENTRE.place, FORWARD.place, Place(172, 0)).startswith("**Leave the head as it is turned**")


def test_moved_back_the_ball_is_not_called_lower():
    said = str(lower_and_earlier(moved(FORWARD, CENTRE, STRAIGHT)))

    assert "lower and earlier" not in said
    assert "higher" in said


def test_hardly_moved_nothing_is_said_of_arc_and_bounce():
    assert lower_and_earlier(moved(CENTRE, FeederSetup(0, 5), STRAIGHT)) is None


def test_a_word_that_no_ball_can_have_is_marked_and_kept():
    ball = Ball("right", "heavy_topspin", "short", "middle", "low")
    said = " ".join(kind_of_ball(moved(CENTRE, CORNER, ball), ball))

    assert "**Doubtful**" in said
    assert "heavy topspin ball that is short" in said
    assert "The word stays as you say it." in said


@pytest.mark.parametrize(
    ("stood", "stands", "spin", "sidespin"),
    [(CENTRE, CORNER, "backspin", "left"), (CENTRE, FORWARD, "no_spin", "right"), (CORNER, FORWARD, "topspin", "left")],
)
def test_a_curving_ball_needs_a_turn_within_what_is_told(
    stood: FeederSetup, stands: FeederSetup, spin: str, sidespin: str
):
    ball = replace(STRAIGHT, spin=spin, sidespin=sidespin)
    found = advised(moved(stood, stands, ball))
    assert found is not None
    turned = found[1].turn_deg
    assert turned is not None
    straight_deg = head_turn_deg(stood.place, stands.place, ball.target)

    assert 0 < max(abs(turned.low - straight_deg), abs(turned.high - straight_deg)) < CURVE_WITHIN_DEG
    assert "up to about 2° more or less" in turn_the_head(stood.place, stands.place, ball.target, sidespin)
    assert "curves" not in turn_the_head(stood.place, stands.place, ball.target)


def test_times_are_told_as_ranges_where_the_sets_disagree():
    """Against a separate calculation with another integrator, to its rounding: bounce 0.464 to 0.483 s before."""
    table = {row[0]: row[1:] for row in rows(setup_tables.times(to_the_corner()))}

    assert table["Time from the release"] == ["Before", "Now, as advised"]
    assert table["To the bounce"][0] == "0.46 to 0.48 s"
    assert table["To the player's plane"] == ["not reached", "not reached"]


def test_a_ball_too_fast_for_the_feet_is_called_a_drill_in_anticipation():
    deep = Ball("right", "heavy_topspin", "long", "middle", "low")
    advice = moved(CENTRE, FORWARD, deep)
    found = advised(advice)

    assert found is not None
    assert "this is a drill in anticipation" in time_to_react(found[1])
    assert "anticipation" not in time_to_react(to_the_corner().before)


def test_where_the_speed_alone_would_brush_the_net_speed_and_tilt_are_advised():
    """From near the net to the back, at the old tilt, the ball would pass the net by less than a centimetre."""
    advice = moved(FeederSetup(100, 0), CENTRE, STRAIGHT)
    found = advised(advice)

    assert advice.keep_landing.clearance_cm is not None
    assert advice.keep_landing.clearance_cm.high < 1
    assert found == ("keep_both", advice.keep_both)
    assert "with the head" in change_the_speed(advice)


def test_what_cannot_be_done_is_said():
    blank = replace(to_the_corner().keep_landing, played=(), clearance_cm=None)
    advice = replace(to_the_corner(), keep_landing=blank, keep_both=blank)

    assert advised(advice) is None
    assert "No change of speed and tilt" in change_the_speed(advice)
    assert rows(setup_tables.ways(advice))[2][1] == "no such ball from there"
    assert rows(setup_tables.times(advice))[0] == ["Time from the release", "Before"]


def test_a_feeder_cannot_be_moved_out_of_the_hall_nor_aim_off_the_table():
    with pytest.raises(FeederBeyondHall):
        moved(CENTRE, FeederSetup(0, 400), SHORT_BACKSPIN)
    with pytest.raises(TargetOffTable):
        moved(CENTRE, CORNER, replace(SHORT_BACKSPIN, target=Place(172, 90)))


def test_a_ball_that_no_calculation_has_is_marked_and_still_has_a_target():
    """From half a metre up, close to the net, no ball drops to just over it and still reaches the end line."""
    stood, ball = FeederSetup(120, 0, 90), Ball("right", "light_backspin", "long", "middle", "low", Place(270, 0))

    with pytest.raises(NoSuchFeed):
        moved(stood, CORNER, ball)
    assert target_of(stood, ball) == Place(270, 0)
    assert no_such_ball(ball).startswith("**Doubtful**: no calculation has a light backspin ball, low over the net")


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (Span(8.6, 9.6), "9 % faster (8.6 to 9.6 %)"),
        (Span(-31.1, -29.3), "30 % slower (29.3 to 31.1 %)"),
        (Span(9.01, 9.02), "9 % faster"),
        (Span(-0.2, 0.3), "as fast as before"),
        (Span(-0.5, 2.5), "1 % faster (from -0.5 to +2.5 %)"),
        (None, "–"),
    ],
)
def test_a_change_of_speed_has_its_way_and_its_range(change, said):
    assert faster(change) == said


def test_a_range_is_shown_only_where_the_calculations_disagree():
    assert number(Span(0.464, 0.483), "s", 2) == "0.46 to 0.48 s"
    assert number(Span(5.96, 6.04), "cm") == "6 cm"
    assert number(Span(-0.04, 0.2), "cm") == "0 cm"
    assert off(Span(-25.2, -24.9)) == "25 cm too short"
    assert off(Span(-0.1, 0.1)) == "where it did"


# The feeder's own dial

EXACT = fit_dial(np.array([4.0, 5.0, 6.0]), np.array([4.2, 5.0, 5.8]), "speed_mps", "A")
"""1 m/s at mark 0 and 0.8 m/s more at each mark."""
ROBOT = some(FeederRow, name="the robot", speed_dial_lowest=0.0, speed_dial_highest=7.0)


def played(speed_mps: float, speed_percent: float):
    return replace(to_the_corner().keep_landing, played=(Played("A", speed_mps, speed_percent),))


def test_a_change_of_speed_is_told_in_marks_of_the_dial():
    """5 m/s at mark 5; ten per cent more is 0.5 m/s, which is 0.625 of a mark (elementary)."""
    assert mark_before({"A": EXACT}, played(5.0, 0.0)) == pytest.approx(5)
    assert dial_sentences(ROBOT, {"A": EXACT}, played(5.5, 10.0), 5.0) == [
        "**On its speed dial: up by 0.6, from 5 to 5.6**."
    ]
    assert dial_sentences(ROBOT, {"A": EXACT}, played(4.5, -10.0), 5.0)[0].startswith(
        "**On its speed dial: down by 0.6"
    )


def test_the_range_of_the_balls_goes_with_the_marks():
    scattered = fit_dial(
        np.array([4.0, 4.0, 5.0, 5.0, 6.0, 6.0]), np.array([4.1, 4.3, 4.9, 5.1, 5.7, 5.9]), "speed_mps", "A"
    )

    assert "(range 0.5 to 0.8)" in dial_sentences(ROBOT, {"A": scattered}, played(5.5, 10.0), 5.0)[0]


@pytest.mark.parametrize(
    ("percent", "mark", "said"),
    [
        (30.0, 5.0, "Landings were noted at settings 4 to 6 only; beyond them this is a guess."),
        (60.0, 5.0, "Its dial goes from 0 to 7 only: choose another ball, or another place."),
    ],
)
def test_beyond_what_was_noted_it_is_a_guess_and_beyond_the_dial_nothing(percent, mark, said):
    assert dial_sentences(ROBOT, {"A": EXACT}, played(5.0, percent), mark)[1] == said


def test_a_change_that_nobody_can_set_leaves_the_dial():
    assert dial_sentences(ROBOT, {"A": EXACT}, played(5.0, 0.3), 5.0) == [
        "On its speed dial that is less than a tenth of a mark: leave it."
    ]
    assert dial_sentences(ROBOT, {}, played(5.0, 10.0), 5.0) == []


def calibrated(verdict: str, slope: float | None = 0.8) -> DialRow:
    ends = {"slope_low": slope and slope - 0.1, "slope_high": slope and slope + 0.1}
    noted = {"balls": 12, "settings": 3, "noted_to": date(2025, 3, 3)}
    return some(DialRow, verdict=verdict, slope=slope, quantity="speed_mps", **ends, **noted)


def test_what_a_mark_does_is_a_range_over_the_calculations_and_their_balls():
    said = what_a_mark_does("speed", [calibrated("straight", 0.8), calibrated("straight", 0.9)])

    assert said == (
        "**One mark of the speed dial is 0.80 to 0.90 m/s** (range 0.70 to 1.00 m/s): the dial is straight as far as "
        "the balls tell (12 balls at 3 settings, the last on 3 March 2025)."
    )


@pytest.mark.parametrize(
    ("verdict", "said"),
    [
        ("too_few", "too few balls, or all at one setting"),
        ("not_explained", "check the height of release, the tilt and the notes"),
        ("not_clear", "note more, or at settings further apart"),
    ],
)
def test_a_dial_that_the_balls_do_not_tell_is_called_not_calibrated(verdict, said):
    told = what_a_mark_does("spin", [calibrated(verdict, None)])

    assert told.startswith("**The spin dial is not calibrated**: ")
    assert said in told


def test_noted_landings_become_a_file_like_any_other():
    shared = {"feeder": "R1", "setup": "BC", "noted_on": date(2026, 3, 2), "release_height_cm": 25.0}
    shared |= {"elevation_deg": 8.0, "speed_setting": 4.0, "spin_setting": None}
    written_at = datetime(2026, 3, 2, 18, 0, tzinfo=UTC)
    file = as_landings_file(shared, [Place(240, -5), Place(236.5, 0)], 7, written_at)
    lines = list(csv.DictReader(io.StringIO(file.content.decode())))

    assert (file.kind, file.source) == ("landings", "form")
    assert [(line["ball"], line["landing_x_cm"], line["landing_y_cm"]) for line in lines] == [
        ("7", "240", "-5"),
        ("8", "236.5", "0"),
    ]
    assert {(line["feeder"], line["noted_on"], line["spin_setting"]) for line in lines} == {("R1", "2026-03-02", "")}


# Check balls


def test_notes_are_read_as_people_write_them():
    """Left of the player is negative; deep centre is 29 cm before the end line."""
    noted = landings_noted("12 left\n 8 r \n\n0\n15.5 cm Left, 60\n7,5 right 45 cm\n")

    assert [(place.x_cm, place.y_cm) for place in noted] == [(245, -12), (245, 8), (245, 0), (214, -15.5), (229, 7.5)]


@pytest.mark.parametrize(
    ("notes", "sentence"),
    [
        ("12 left\n12", "Line 2: '12' does not say on which side"),
        ("left", "Line 1: 'left' does not say where the ball landed"),
        ("-12", "Line 1: '-12' does not say where"),
        ("nan left", "such as 12 left"),
        ("1 left\n" * 51, "51 balls; 50 at most"),
    ],
)
def test_a_note_that_says_no_place_is_told_with_its_line(notes, sentence):
    with pytest.raises(NotALanding, match=sentence):
        landings_noted(notes)


def test_a_note_for_a_dial_needs_its_depth():
    assert landings_noted("5 left, 40", with_depth=True) == [Place(234, -5)]
    with pytest.raises(NotALanding, match="how far before the player's end line"):
        landings_noted("5 left", with_depth=True)


def test_balls_that_fall_to_the_players_left_turn_the_head_to_his_right():
    """Mean of the angles atan(12/245), atan(8/245), atan(15/245) and atan(10/245) is 2.63 degrees, by hand."""
    said = correction(correct_head(Place(0, 0), landings_noted("12 left\n8 left\n15 left\n10 left")))

    assert said[0].startswith("**Turn the head 2.6° to the player's right (to your left,")
    assert said[0].endswith("11 cm at deep centre.")
    assert said[1].startswith("From 4 balls; range 1.")


def test_balls_on_both_sides_leave_the_head():
    said = correction(correct_head(Place(0, 0), landings_noted("12 left\n9 right\n3 left")))

    assert said[0] == "**Leave the head as it is.**"
    assert "scatter too much" in said[1]


def test_one_ball_alone_is_said_to_be_one():
    said = correction(correct_head(Place(0, 0), landings_noted("20 right")))

    assert said[0].startswith("**Turn the head 4.7° to the player's left")
    assert "one ball alone" in said[1]


def test_a_ball_on_the_line_leaves_the_head():
    assert correction(correct_head(Place(0, 0), landings_noted("0")))[0] == "**Leave the head as it is.**"
