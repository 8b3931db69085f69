"""The table from above, to scale: where the feeder stands, where it aims, and where its player is ready.

One unit of the drawing is one centimetre. Down the drawing is x, towards the player; to its right is y, the player's
right: the far end is above, as the player sees the table. Parts that follow a move carry their name as `data-part`,
and what can be moved its name as `data-who`; `views/aiming/aiming.js` holds on to these.
"""

from dataclasses import dataclass
from math import cos, hypot, radians, sin
from typing import Any

from dashboard.drawings.labels import LETTER_CM, label
from dashboard.drawings.markup import Markup, element
from dashboard.drawings.skins import SCREEN
from dashboard.drawings.svg import circle, group, number, path, rect
from dashboard.drawings.table_above import Ground, badge, feeder, landing, ready_feet, second_bounce, surface
from models.ready import READY_LINE_CM, Cone
from models.stance import Place, yaw_deg
from models.table import NET_HALF_SPAN_CM, NET_X_CM

MARGIN_CM = 50.0
LEAST_HALF_WIDTH_CM = 165.0
MOST_HALF_WIDTH_CM = 260.0
LEAST_BACK_CM = -20.0
"""So much of the hall is always there, so that a short move does not change the scale under the hand that makes it."""
TURN_RADIUS_CM, TURN_WORDS_CM = 46.0, 74.0
HANDLE_CM = 26.0
"""How far around a feeder or a target it can be taken hold of."""


@dataclass(frozen=True)
class Scene:
    """What is to be seen: the feeder, its target, the cone of balls from there, and the two ready positions.

    `before`: where the feeder stood before it was moved. `ready_before`: where the player was ready for it there.
    `second`: where the ball bounces again.
    """

    feeder: Place
    target: Place
    cone: Cone
    ready: Place
    midpoint: Place
    before: Place | None = None
    ready_before: Place | None = None
    second: Place | None = None

    @property
    def half_width_cm(self) -> float:
        """Half of what the drawing spans sideways. A cone that opens very wide is cut off at the edge."""
        reach_cm = max(abs(end_cm) for end_cm in self.cone.reach_cm(READY_LINE_CM)) + MARGIN_CM / 2
        feeders_cm = max(abs(place.y_cm) for place in self._feeders()) + MARGIN_CM
        return max(LEAST_HALF_WIDTH_CM, min(reach_cm, MOST_HALF_WIDTH_CM), feeders_cm)

    @property
    def top_cm(self) -> float:
        """The x at the upper edge of the drawing."""
        return min(LEAST_BACK_CM, *(place.x_cm for place in self._feeders())) - MARGIN_CM

    @property
    def turn_deg(self) -> float:
        """How far the head is turned to the player's right of straight along the table."""
        return yaw_deg(self.feeder, self.target)

    def _feeders(self) -> list[Place]:
        return [place for place in (self.feeder, self.before, self.feeder) if place is not None]


@dataclass(frozen=True)
class Handles:
    """What is said of the two things that can be moved, to who moves them without seeing them."""

    feeder: str
    target: str


def scene_drawing(scene: Scene, alternative: str, *, handles: Handles, spin: Markup | None = None) -> Markup:
    """The drawing; `spin` is the sign of the ball's spin, on a disc beside the feeder."""
    half, top = scene.half_width_cm, scene.top_cm
    width, height = 2 * half, READY_LINE_CM + MARGIN_CM + LETTER_CM - top
    return element(
        "svg",
        surface(Ground()),
        _part("cone", _cone(scene.cone)),
        *_lines(half),
        _part("before", *_moved_from(scene)),
        _part("turn", *_turn(scene)),
        _part("way", _way(scene)),
        _part("second", *_second(scene)),
        _part("ready", *_player(scene)),
        _part("labels", *_labels(scene)),
        _turn_in_words(scene),
        *_scale(half, top),
        *([_part("spin", _spin(scene, spin))] if spin else []),
        _handle("target", scene.target, handles.target, landing((0, 0), 10.5)),
        _handle("feeder", scene.feeder, handles.feeder, feeder((0, 0), scene.turn_deg, size=30)),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"{number(-half)} {number(top)} {number(width)} {number(height)}",
        width=number(width),
        height=number(height),
        role="group",
        aria_label=alternative,
    )


def _part(name: str, *inside: str) -> Markup:
    return group(*inside, data_part=name)


def _handle(who: str, place: Place, told: str, drawn: Markup) -> Markup:
    """Something that can be moved, by pointer and by keys."""
    reach = circle(0, 0, HANDLE_CM, class_="hl-reach", fill="transparent", stroke=SCREEN.nextmark)
    named: dict[str, Any] = {
        "data_who": who,
        "role": "slider",
        "tabindex": "0",
        "aria_label": who,
        "aria_valuetext": told,
    }
    across = {"aria_valuenow": number(round(place.y_cm)), "aria_valuemin": "-350", "aria_valuemax": "350"}
    return group(reach, group(drawn, class_="hl-held"), at=_at(place), class_="hl-handle", **(named | across))


def _cone(cone: Cone) -> Markup:
    left_cm, right_cm = cone.reach_cm(READY_LINE_CM)
    corners = [(cone.apex.y_cm, cone.apex.x_cm), (left_cm, READY_LINE_CM), (right_cm, READY_LINE_CM)]
    points = " ".join(f"{across:.1f},{down:.1f}" for across, down in corners)
    skin = {
        "fill": SCREEN.few,
        "stroke": SCREEN.met,
        "stroke_width": "1.4",
        "stroke_dasharray": "6 5",
        "fill_opacity": "0.6",
    }
    return element("polygon", points=points, class_="cone", **skin)


def _lines(half_width_cm: float) -> tuple[Markup, ...]:
    return (label("net", NET_HALF_SPAN_CM + 5, NET_X_CM + 4, half_width_cm, anchor="start"),)


def _moved_from(scene: Scene) -> tuple[Markup, ...]:
    if scene.before is None:
        return ()
    x, y = _at(scene.before)
    broken = {"stroke": SCREEN.ink, "stroke_width": "2", "stroke_dasharray": "4 4"}
    ghost = rect(x - 13, y - 13, 26, 26, radius=5, class_="was", fill="none", **broken)
    line = _line(_at(scene.before), _at(scene.feeder), class_="move", stroke_width="1.6", stroke_dasharray="2 5")
    was_ready = [] if scene.ready_before is None else [_ready_before(scene.ready_before)]
    return (line, ghost, label("before", x, y + 26, scene.half_width_cm), *was_ready)


def _ready_before(place: Place) -> Markup:
    return group(ready_feet(_at(place), 26), class_="ready-was", opacity="0.45")


def _turn(scene: Scene) -> tuple[Markup, ...]:
    """How far the head is turned: straight along the table, broken, and the arc to the ball's line."""
    x, y = _at(scene.feeder)
    turn = scene.turn_deg
    ahead = _line((x, y + HANDLE_CM), (x, y + TURN_RADIUS_CM + 24), stroke_width="2", stroke_dasharray="5 4")
    to_x, to_y = x + TURN_RADIUS_CM * sin(radians(turn)), y + TURN_RADIUS_CM * cos(radians(turn))
    sweep = 0 if turn > 0 else 1
    arc = path(
        f"M{number(x)} {number(y + TURN_RADIUS_CM)}A{number(TURN_RADIUS_CM)} {number(TURN_RADIUS_CM)} 0 0 {sweep} "
        f"{number(to_x)} {number(to_y)}",
        stroke=SCREEN.nextmark,
        stroke_width="2.4",
    )
    return (ahead, arc)


def _way(scene: Scene) -> Markup:
    return _line(_at(scene.feeder), _at(scene.target), class_="feed", stroke_width="2.6")


def _second(scene: Scene) -> tuple[Markup, ...]:
    """A broken line on to the second bounce, if there is one within the drawing."""
    if scene.second is None or scene.second.x_cm > READY_LINE_CM:
        return ()
    ends = (_at(scene.target), _at(scene.second))
    line = _line(*ends, stroke_width="2.4", stroke_dasharray="7 6")
    x, y = ends[1]
    return (line, second_bounce((x, y)), label("second bounce", x + 10, y + 4, scene.half_width_cm, anchor="start"))


def _player(scene: Scene) -> tuple[Markup, ...]:
    half = scene.half_width_cm
    line = _line((-half, READY_LINE_CM), (half, READY_LINE_CM), stroke_width="1", stroke_dasharray="1 6")
    middle = path(_diamond(scene.midpoint), class_="midpoint", fill=SCREEN.card, stroke=SCREEN.ink, stroke_width="1.6")
    return (line, middle, group(ready_feet((0, 0), 34), at=_at(scene.ready), class_="ready"))


def _labels(scene: Scene) -> tuple[Markup, ...]:
    half = scene.half_width_cm
    (x, y), (to_x, to_y) = _at(scene.feeder), _at(scene.target)
    outside = 1 if x > 0 else -1
    return (
        label("feeder", x + outside * 24, y - HANDLE_CM, half, anchor="end" if outside < 0 else "start"),
        label("target", to_x + HANDLE_CM + 4, to_y + 4, half, anchor="start"),
        label("ready", scene.ready.y_cm, READY_LINE_CM + 32, half),
        label("◇ middle of the reach", scene.midpoint.y_cm, READY_LINE_CM + 48, half),
    )


def _turn_in_words(scene: Scene) -> Markup:
    """How far the head is turned, on the line of the ball."""
    (x, y), (to_x, to_y), turn = _at(scene.feeder), _at(scene.target), scene.turn_deg
    side = "straight ahead" if abs(turn) < 0.5 else f"{abs(turn):.0f}° to the {'right' if turn > 0 else 'left'}"
    share = TURN_WORDS_CM / hypot(to_x - x, to_y - y)
    at = x + (to_x - x) * share, y + (to_y - y) * share
    return label(side, *at, scene.half_width_cm, fill=SCREEN.next, class_="hl-turn")


def _scale(half_width_cm: float, top_cm: float) -> tuple[Markup, ...]:
    left, down = -half_width_cm + 10, top_cm + 22
    return (
        _line((left, down), (left + 50, down), class_="scale", stroke_width="2.4"),
        label("50 cm", left, down - 6, half_width_cm, anchor="start"),
    )


def _spin(scene: Scene, sign: Markup) -> Markup:
    """On the side of the feeder where there is more room."""
    x, y = _at(scene.feeder)
    return badge((x + (52 if x <= 0 else -52), y - 26), sign, 30)


def _at(place: Place) -> tuple[float, float]:
    """Across and down the drawing."""
    return place.y_cm, place.x_cm


def _line(begin: tuple[float, float], end: tuple[float, float], **attributes: str) -> Markup:
    places = {name: f"{value:g}" for name, value in zip(("x1", "y1", "x2", "y2"), (*begin, *end), strict=True)}
    return element("line", **(places | {"stroke": SCREEN.ink} | attributes))


def _diamond(place: Place) -> str:
    return f"M{place.y_cm:.1f} {place.x_cm - 6:g}l6 6l-6 6l-6 -6z"
