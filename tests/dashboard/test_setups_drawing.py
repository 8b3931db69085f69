"""The table from above: every sign stands where it belongs, one unit to the centimetre, and can be heard."""

import re
from xml.etree import ElementTree

import pytest

from dashboard.drawings.setup import Handles, Scene, scene_drawing
from dashboard.drawings.setup_scene import alternative, scene_of
from dashboard.drawings.signs import sign
from dashboard.look.tokens import DARK, LIGHT
from models.stance import Place
from tests.dashboard.contrast import contrast

CORNER, TARGET = Place(-30, 70), Place(172, -50)
SVG = "{http://www.w3.org/2000/svg}"
HANDLES = Handles("30 cm behind its end line", "35 cm behind the net")


def drawn(scene: Scene) -> str:
    return scene_drawing(scene, alternative(scene, "left"), handles=HANDLES, spin=sign("spin", "backspin"))


def picture(scene: Scene) -> ElementTree.Element:
    return ElementTree.fromstring(drawn(scene))  # noqa: S314 - our own drawing


def one(scene: Scene, kind: str, by: str = "class") -> ElementTree.Element:
    (found,) = [sign for sign in picture(scene).iter() if sign.get(by) == kind]
    return found


def moved_to(drawn: ElementTree.Element) -> tuple[float, float]:
    """Across and down, of a part that is put somewhere."""
    across, down = re.findall(r"translate\((\S+) (\S+?)\)", str(drawn.get("transform")))[0]
    return float(across), float(down)


def numbers(sign: ElementTree.Element, *names: str) -> tuple[float, ...]:
    return tuple(float(sign.get(name, "nan")) for name in names)


def labels(scene: Scene) -> dict[str, ElementTree.Element]:
    return {str(text.text): text for text in picture(scene).iter(f"{SVG}text")}


CORNER_SCENE = scene_of(CORNER, TARGET, counts_short=False)


def test_the_table_has_the_measures_of_the_laws_in_centimetres():
    """ITTF Laws 2.1.1: 2.74 by 1.525 m; across the drawing is across the table."""
    surface = next(picture(CORNER_SCENE).iter(f"{SVG}rect"))

    assert numbers(surface, "x", "y", "width", "height") == (-76.25, 0, 152.5, 274)


def test_the_net_stands_half_way_and_reaches_beyond_both_side_lines():
    """ITTF Laws 2.2.2: the posts are 15.25 cm outside the side lines."""
    assert "M-91.5 137H91.5" in [path.get("d") for path in picture(CORNER_SCENE).iter(f"{SVG}path")]


def test_one_unit_is_one_centimetre_on_both_axes():
    """The picture's own width and height are those of its coordinates, so nothing is stretched."""
    image = picture(CORNER_SCENE)
    _, _, wide, high = map(float, str(image.get("viewBox")).split())

    assert (image.get("width"), image.get("height")) == (f"{wide:g}", f"{high:g}")
    assert image.get("preserveAspectRatio") is None


def test_the_feeder_and_its_target_are_joined_by_the_line_of_the_ball():
    line = numbers(one(CORNER_SCENE, "feed"), "x1", "y1", "x2", "y2")

    assert line == (70, -30, -50, 172)
    assert moved_to(one(CORNER_SCENE, "feeder", "data-who")) == (70, -30)
    assert moved_to(one(CORNER_SCENE, "target", "data-who")) == (-50, 172)


def test_the_head_is_drawn_as_it_is_turned_and_the_turn_is_told():
    """atan2(-120, 202) is 30.71 degrees to the left; in the drawing, where down is ahead, that is clockwise."""
    held = next(part for part in one(CORNER_SCENE, "feeder", "data-who") if part.get("class") == "hl-held")

    assert "rotate(30.71)" in str(held[0].get("transform"))
    assert "31° to the left" in labels(CORNER_SCENE)


def test_the_cone_opens_from_the_feeder_past_the_players_corners():
    """Through (274, -76.25) and (274, 76.25) from (-30, 70), prolonged to 324: similar triangles, by hand."""
    points = [tuple(map(float, point.split(","))) for point in str(one(CORNER_SCENE, "cone").get("points")).split()]

    assert points[0] == (70, -30)
    assert points[1] == pytest.approx((70 - 146.25 * 354 / 304, 324), abs=0.05)
    assert points[2] == pytest.approx((70 + 6.25 * 354 / 304, 324), abs=0.05)


def test_the_ready_position_bisects_the_cone():
    """Tan of the mean of the two corner bearings, -25.69 and 1.18 degrees, over 354 cm (elementary): -6.9 cm."""
    assert moved_to(one(CORNER_SCENE, "ready")) == pytest.approx((-6.9, 324), abs=0.05)


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
    was = numbers(one(moved, "was"), "x", "y", "width", "height")

    assert (was[0] + was[2] / 2, was[1] + was[3] / 2) == (0, -15)
    assert numbers(one(moved, "move"), "x1", "y1", "x2", "y2") == (0, -15, 70, -30)
    assert one(moved, "ready-was") is not None
    assert {"before", "feeder", "target", "ready", "net", "50 cm"} <= set(labels(moved))


def test_the_second_bounce_is_drawn_where_it_falls_and_not_at_all_where_it_falls_behind_the_player():
    short, long = (scene_of(CORNER, TARGET, counts_short=False, second=Place(x, -60)) for x in (250, 330))

    assert "second bounce" in labels(short)
    assert "second bounce" not in labels(long)


def test_the_scale_is_fifty_centimetres_long():
    left, right = numbers(one(CORNER_SCENE, "scale"), "x1", "x2")

    assert right - left == 50


@pytest.mark.parametrize("feeder", [Place(-560, 0), Place(0, 350), Place(0, -350), Place(136, -95), Place(136, 0)])
@pytest.mark.parametrize("counts_short", [False, True])
def test_wherever_the_feeder_stands_all_signs_and_labels_are_within_the_picture(feeder, counts_short):
    scene = scene_of(feeder, TARGET, counts_short=counts_short)
    left, top, wide, high = map(float, str(picture(scene).get("viewBox")).split())
    places = [numbers(text, "x", "y") for text in labels(scene).values()]
    places += [moved_to(one(scene, "feeder", "data-who")), (scene.ready.y_cm, scene.ready.x_cm)]

    assert all(left <= across <= left + wide and top <= down <= top + high for across, down in places)


def test_the_drawing_and_what_can_be_moved_have_words_for_who_cannot_see_them():
    words = str(picture(CORNER_SCENE).get("aria-label"))
    handle = one(CORNER_SCENE, "feeder", "data-who")

    assert words.startswith("The table from above, to scale, the player below.")
    assert "30 cm behind its end line and 70 cm to the player's right" in words
    assert "7 cm to the left of the centre line (forehand side)" in words
    assert (handle.get("role"), handle.get("tabindex"), handle.get("aria-valuetext")) == (
        "slider",
        "0",
        "30 cm behind its end line",
    )


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize(("sign", "ground"), [("nextmark", "table"), ("ink", "table"), ("ink", "few"), ("met", "card")])
def test_every_sign_stands_out_from_its_ground(sign, ground, theme):
    """At least 3 to 1 (WCAG 2.2, 1.4.11, non-text contrast): handles, lines and feet, the edge of the cone."""
    assert f"var(--hl-{sign})" in drawn(CORNER_SCENE)
    assert contrast(theme[sign], theme[ground]) >= 3


def test_nothing_in_the_drawing_is_fetched():
    drawing = drawn(CORNER_SCENE).replace("http://www.w3.org/2000/svg", "")

    assert "http" not in drawing
    assert "url(" not in drawing
