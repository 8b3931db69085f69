"""The table from above: every sign stands where it belongs, one unit to the centimetre, and can be heard."""

import re
from base64 import b64decode
from xml.etree import ElementTree

import pytest

from dashboard.drawings.setup import Scene, drawn, svg
from dashboard.drawings.setup_scene import alternative, scene_of
from models.stance import Place
from tests.dashboard.contrast import contrast

CORNER, TARGET = Place(-30, 70), Place(172, -50)
SVG = "{http://www.w3.org/2000/svg}"


def picture(scene: Scene) -> ElementTree.Element:
    return ElementTree.fromstring(svg(scene))  # noqa: S314 - our own drawing


def one(scene: Scene, kind: str) -> ElementTree.Element:
    (found,) = [sign for sign in picture(scene).iter() if sign.get("class") == kind]
    return found


def numbers(sign: ElementTree.Element, *names: str) -> tuple[float, ...]:
    return tuple(float(sign.get(name, "nan")) for name in names)


def labels(scene: Scene) -> dict[str, ElementTree.Element]:
    return {str(text.text): text for text in picture(scene).iter(f"{SVG}text")}


CORNER_SCENE = scene_of(CORNER, TARGET, counts_short=False)


def test_the_table_has_the_measures_of_the_laws_in_centimetres():
    """ITTF Laws 2.1.1: 2.74 by 1.525 m; across the drawing is across the table."""
    surface = numbers(one(CORNER_SCENE, "surface"), "x", "y", "width", "height")

    assert surface == (-76.25, 0, 152.5, 274)


def test_the_net_stands_half_way_and_reaches_beyond_both_side_lines():
    """ITTF Laws 2.2.2: the posts are 15.25 cm outside the side lines."""
    assert numbers(one(CORNER_SCENE, "net"), "x1", "x2", "y1", "y2") == (-91.5, 91.5, 137, 137)


def test_one_unit_is_one_centimetre_on_both_axes():
    """The picture's own width and height are those of its coordinates, so nothing is stretched."""
    image = picture(CORNER_SCENE)
    _, _, wide, high = map(float, str(image.get("viewBox")).split())

    assert (image.get("width"), image.get("height")) == (f"{wide:g}", f"{high:g}")
    assert image.get("preserveAspectRatio") is None


def test_the_feeder_and_its_target_are_joined_by_the_line_of_the_ball():
    line = numbers(one(CORNER_SCENE, "feed"), "x1", "y1", "x2", "y2")
    box = numbers(one(CORNER_SCENE, "feeder"), "x", "y", "width", "height")

    assert line == (70, -30, -50, 172)
    assert (box[0] + box[2] / 2, box[1] + box[3] / 2) == (70, -30)


def test_the_cone_opens_from_the_feeder_past_the_players_corners():
    """Through (274, -76.25) and (274, 76.25) from (-30, 70), prolonged to 324: similar triangles, by hand."""
    points = [tuple(map(float, point.split(","))) for point in str(one(CORNER_SCENE, "cone").get("points")).split()]

    assert points[0] == (70, -30)
    assert points[1] == pytest.approx((70 - 146.25 * 354 / 304, 324), abs=0.05)
    assert points[2] == pytest.approx((70 + 6.25 * 354 / 304, 324), abs=0.05)


def test_the_ready_position_bisects_the_cone():
    """Tan of the mean of the two corner bearings, -25.69 and 1.18 degrees, over 354 cm (elementary): -6.9 cm."""
    assert numbers(one(CORNER_SCENE, "ready"), "cx", "cy") == pytest.approx((-6.9, 324), abs=0.05)


def test_the_middle_of_the_reach_is_drawn_as_the_other_definition():
    """Half way between where the two edges of the cone pass the player's line: (-100.3 + 77.3) / 2."""
    path = str(one(CORNER_SCENE, "midpoint").get("d"))
    across, down = map(float, path[1 : path.index("l")].split())

    assert (across, down + 6) == pytest.approx((-11.5, 324), abs=0.1)


def test_short_angles_open_the_cone_wider():
    wide = scene_of(CORNER, TARGET, counts_short=True)

    assert wide.cone.width_deg > CORNER_SCENE.cone.width_deg + 5


def test_a_moved_feeder_is_drawn_where_it_stood_and_where_it_stands():
    moved = scene_of(CORNER, TARGET, counts_short=False, before=Place(-15, 0))
    was = numbers(one(moved, "feeder was"), "x", "y", "width", "height")

    assert (was[0] + was[2] / 2, was[1] + was[3] / 2) == (0, -15)
    assert numbers(one(moved, "move"), "x1", "y1", "x2", "y2") == (0, -15, 70, -30)
    assert numbers(one(moved, "ready was"), "cx", "cy") == (0, 324)
    assert {"before", "feeder", "target", "ready position", "net", "50 cm"} <= set(labels(moved))


def test_the_scale_is_fifty_centimetres_long():
    left, right = numbers(one(CORNER_SCENE, "scale"), "x1", "x2")

    assert right - left == 50


@pytest.mark.parametrize("feeder", [Place(-560, 0), Place(0, 350), Place(0, -350), Place(136, -95), Place(136, 0)])
@pytest.mark.parametrize("counts_short", [False, True])
def test_wherever_the_feeder_stands_all_signs_and_labels_are_within_the_picture(feeder, counts_short):
    scene = scene_of(feeder, TARGET, counts_short=counts_short)
    left, top, wide, high = map(float, str(picture(scene).get("viewBox")).split())
    places = [numbers(text, "x", "y") for text in labels(scene).values()]
    places += [numbers(one(scene, "feeder"), "x", "y"), (scene.ready.y_cm, scene.ready.x_cm)]

    assert all(left <= across <= left + wide and top <= down <= top + high for across, down in places)


def test_the_drawing_is_a_picture_with_words_for_who_cannot_see_it():
    words = alternative(CORNER_SCENE, "left")
    html = drawn(CORNER_SCENE, words)
    data = html.split("base64,")[1].split('"')[0]

    assert b64decode(data).decode() == svg(CORNER_SCENE)
    assert 'alt="The table from above, to scale, the player below.' in html
    assert "30 cm behind its end line and 70 cm to the player&#x27;s right" in html
    assert "7 cm to the left of the centre line (forehand side)" in words


def colours(kind: str, part: str) -> tuple[str, str]:
    """The colour of a sign's part in light and in dark, as the drawing's own style has it."""
    rule = re.search(rf"{re.escape(kind)} {{[^}}]*?{part}: light-dark\((#\w+), (#\w+)\)", svg(CORNER_SCENE))
    assert rule is not None, kind
    return rule[1], rule[2]


@pytest.mark.parametrize("theme", [0, 1], ids=["light", "dark"])
@pytest.mark.parametrize(
    ("sign", "ground"), [(".target", ".surface"), (".ready", None), (".surface-edge", None), ("svg", ".surface")]
)
def test_every_sign_stands_out_from_its_ground(sign, ground, theme):
    """At least 3 to 1 (WCAG 2.2, 1.4.11, non-text contrast); the page is white or nearly black."""
    part = {".target": "stroke", ".ready": "fill", ".surface-edge": "stroke", "svg": "color"}[sign]
    drawn_in = colours(sign.removesuffix("-edge"), part)[theme]
    on = ("#FFFFFF", "#171614")[theme] if ground is None else colours(ground, "fill")[theme]

    assert contrast(drawn_in, on) >= 3


def test_nothing_in_the_drawing_is_fetched():
    drawing = svg(CORNER_SCENE).replace("http://www.w3.org/2000/svg", "")

    assert "http" not in drawing
    assert "url(" not in drawing
