"""What is said beside the blocks of a plan: how a feeder is set, how far a ball changes, and the minutes as a line."""

import re

import pytest

from dashboard.drawings.minutes_line import Stretch, minutes_line
from dashboard.words.plan_setup import NOT_CALIBRATED, change_from_before, facts, short_name
from models import plan_edits
from models.block_setup import BlockSetup, Mark
from models.closing import drawn
from models.estimates import Span
from models.stance import Place
from tests.models.test_plan_edits import GAPS
from tests.models.test_planning import SETTINGS, STANDS, plan

READY = Place(324, -23)


def setup(**changed: object) -> BlockSetup:
    known = {
        "yaw_deg": 12.0,
        "turn_deg": -2.0,
        "tilt_deg": Span(3.9, 5.2),
        "speed_mps": Span(8.0, 9.0),
        "speed": Mark(7.04, is_guess=False),
        "spin": Mark(4.0, is_guess=True),
        "lands": Place(245, 0),
        "ready": READY,
    }
    return BlockSetup(**known | changed)  # type: ignore[arg-type]


def test_how_a_feeder_is_set_in_the_order_in_which_it_is_done():
    assert facts(setup()) == [
        ("Turn the head", "2° to the left"),
        ("Tilt", "4 to 5°"),
        ("Speed dial", "7.0"),
        ("Spin dial", "4.0 (a guess: check ball)"),
        ("Be ready", "23 cm to the left"),
    ]


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"turn_deg": None}, ("Head", "12° right of straight")),
        ({"turn_deg": None, "yaw_deg": 0.1}, ("Head", "straight along the table")),
        ({"turn_deg": 0.2}, ("Turn the head", "leave it as it is")),
        ({"tilt_deg": None}, ("Tilt", "check ball")),
        ({"speed": None, "spin": None}, ("Dials", NOT_CALIBRATED)),
        ({"spin": None}, ("Spin dial", NOT_CALIBRATED)),
        ({"ready": Place(324, 0.1)}, ("Be ready", "in the middle")),
    ],
)
def test_what_is_not_known_is_said_so(changed, told):
    assert told in facts(setup(**changed))


def test_how_far_a_block_changes_from_the_one_before():
    """From the back, topspin, long; then backspin, long; then from the middle without spin."""
    made = plan(GAPS, STANDS, 60, SETTINGS)
    closed = plan_edits.with_closing(made, drawn(made.drills[:2], SETTINGS, seed=1), SETTINGS)

    assert [change_from_before(closed, at) for at in range(5)] == [
        None,
        "Against block 1: 1 of 3 change (spin by 2 steps).",
        "Against block 2: 2 of 3 change (depth of the feeder and spin).",
        "Against block 3: 3 of 3 change (depth of the feeder, spin and length by 2 steps).",
        None,
    ]


def test_a_ball_in_few_words():
    assert short_name(GAPS[1].words) == "Backspin, short"
    assert short_name({}) == "Any ball"


def test_the_minutes_of_a_session_are_a_line_to_scale_that_tells_its_parts():
    parts = [
        Stretch(12, "feeding", "BC · 12 min"),
        Stretch(3, "moving", "move, 3 min"),
        Stretch(12, "closing", "closing mix · 12 min"),
        Stretch(33, "left", "33 minutes left"),
    ]

    drawing = minutes_line(parts, 600)

    widths = [float(found) for found in re.findall(r'<rect x="[\d.]+" y="0\.5" width="([\d.]+)"', drawing)]
    assert widths == [119, 29, 119, 329]
    assert 'aria-label="BC · 12 min; move, 3 min; closing mix · 12 min; 33 minutes left"' in drawing
    assert "move, 3 min</text>" not in drawing, "there is no room for it"
    assert "33 minutes left</text>" in drawing
