"""The ball from the side: its arc, its bounces and the net stand where the flight has them; figures with ranges."""

from xml.etree import ElementTree

import pytest

from dashboard.drawings.side_view import Side, bounces, side_view
from dashboard.words.setup_dial import dials_for
from dashboard.words.setup_figures import figures, from_the_side, over_the_net, what_it_is
from models.aimed_ball import aimed_ball
from models.dial import DialLine
from models.feeder_setup import FeederSetup
from models.moved_ball import Ball, Way, moved
from models.stance import Place

SVG = "{http://www.w3.org/2000/svg}"
BACK = FeederSetup(-20, 0)
SHORT = Ball("right", "backspin", "short", "middle", "low")
LONG = Ball("right", "topspin", "long", "middle", "medium")
NOWHERE = Ball("right", "heavy_topspin", "short", "middle", "high", target=Place(138, 0))


def way_of(ball: Ball, setup: FeederSetup = BACK) -> Way:
    return aimed_ball(setup, ball).way


def drawn(way: Way, before: Way | None = None) -> ElementTree.Element:
    side = Side(way.path_cm, before.path_cm if before else ())
    return ElementTree.fromstring(side_view(side, over_the_net(way), "words"))  # noqa: S314 - our own drawing


def arc(image: ElementTree.Element, kind: str = "arc") -> list[tuple[float, float]]:
    (line,) = [one for one in image.iter(f"{SVG}polyline") if one.get("class") == kind]
    return [(float(x), float(y)) for x, y in (point.split(",") for point in str(line.get("points")).split())]


def test_a_ball_is_aimed_as_its_flight_by_every_set_says():
    """A short backspin ball 6 cm over the net from behind the table: its own words, and what `moved` makes of it."""
    aimed = aimed_ball(BACK, SHORT)
    before = moved(BACK, FeederSetup(60, 50), SHORT).before

    assert aimed.impossible == ()
    assert aimed.way.clearance_cm is not None
    assert aimed.way.clearance_cm.middle == pytest.approx(6, abs=0.1)
    assert aimed.way.yaw_deg is not None
    assert aimed.way.yaw_deg.middle == pytest.approx(0, abs=0.01)
    assert aimed.way.times.contact_s == before.times.contact_s
    assert [each.speed_mps for each in aimed.way.played] == [each.speed_mps for each in before.played]


def test_the_path_begins_at_the_release_and_ends_at_the_second_bounce():
    way = way_of(SHORT)

    assert way.path_cm[0] == pytest.approx((-20, 0, 25))
    assert way.second is not None
    assert way.path_cm[-1][:2] == pytest.approx((way.second.x_cm, way.second.y_cm), abs=0.1)
    assert bounces(way.path_cm) == pytest.approx([aimed_ball(BACK, SHORT).target.x_cm, way.second.x_cm], abs=0.2)


def test_the_arc_is_to_scale_and_passes_the_net_by_what_is_said():
    """The net is 15.25 cm high (ITTF Laws 2.2.1), the ball's radius 2 cm (2.3.1): its centre is at 23.25 cm."""
    way = way_of(SHORT)
    at_net = Side(way.path_cm).net_height_cm
    points = arc(drawn(way))

    assert at_net == pytest.approx(15.25 + 2 + 6, abs=0.3)
    assert points[0] == pytest.approx((-20, -25), abs=0.01)
    assert "6 cm over the net" in [text.text for text in drawn(way).iter(f"{SVG}text")]


def test_after_a_move_both_arcs_are_drawn_the_earlier_one_broken():
    advice = moved(BACK, FeederSetup(60, 50), SHORT)
    image = drawn(advice.keep_both, advice.before)

    assert arc(image)[0][0] == pytest.approx(60, abs=0.01)
    assert arc(image, "arc-was")[0][0] == pytest.approx(-20, abs=0.01)
    assert "A broken line shows the ball before" in from_the_side(advice.keep_both, is_moved=True)


@pytest.mark.parametrize(
    ("ball", "said"),
    [(SHORT, "It bounces twice on the table: **short**."), (LONG, "It bounces once on the table: **long**.")],
)
def test_what_a_ball_is_by_its_second_bounce_is_said(ball, said):
    assert what_it_is(way_of(ball)) == said


def test_a_ball_that_no_calculation_has_leaves_the_hall_empty_and_says_so():
    way = way_of(NOWHERE)

    assert way.sets == 0
    assert arc(drawn(way)) == []
    assert "No calculation has this ball" in what_it_is(way)
    assert [one.value for one in figures(12.0, way, Place(324, -7), [])] == ["12°", "–", "7 cm", "–"]


def test_the_four_figures_have_their_side_and_their_range():
    turn, tilt, ready, time = figures(0.0, way_of(SHORT), Place(324, 7), [])

    assert (turn.value, turn.more) == ("0°", "straight ahead")
    assert tilt.value.endswith("°")
    assert tilt.more.endswith("m/s")
    assert (ready.value, ready.more) == ("7 cm", "right of the middle")
    assert time.more.endswith(" s")


def line(slope: float, intercept: float, lowest: float, highest: float) -> DialLine:
    """A dial that nine balls at two settings have calibrated almost exactly."""
    return DialLine("speed_mps", "A", 9, lowest, highest, intercept, slope, 0.0, 1e-6, 0.0, 0.5, 0.95)


def test_calibrated_dials_are_told_in_their_own_marks_and_a_guess_is_called_one():
    """A dial of 1 m/s a mark stands at the speed of the ball; spin of -30 turns a second at 10 a mark is mark -3."""
    way = way_of(SHORT)
    speed_mps = next(each.speed_mps for each in way.played if each.coefficients == "A")
    dials, guesses = dials_for({"A": line(1, 0, 6, 8)}, {"A": line(10, 0, -5, 5)}, way, -30.0)

    assert dials == [f"speed dial {speed_mps:.1f}", "spin dial -3.0"]
    assert guesses == ["The mark of the speed dial is a guess: landings were noted at 6 to 8."]
    assert dials_for({}, {}, way, -30.0) == ([], [])
