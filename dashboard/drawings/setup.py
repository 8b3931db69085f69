"""The table from above, to scale: where the feeder stands, where it aims, and where its player is ready.

One unit of the drawing is one centimetre. Down the drawing is x, towards the player; to its right is y, the player's
right: the far end is above, as the player sees the table.
"""

from base64 import b64encode
from collections.abc import Iterable
from dataclasses import dataclass

from dashboard.drawings.markup import Markup, element
from models.ready import READY_LINE_CM, Cone
from models.stance import Place
from models.table import HALF_WIDTH_CM, NET_HALF_SPAN_CM, NET_X_CM, TABLE_LENGTH_CM, TABLE_WIDTH_CM

MARGIN_CM = 50.0
LEAST_HALF_WIDTH_CM = 165.0
MOST_HALF_WIDTH_CM = 260.0
LETTER_CM = 14.0
_LETTER_WIDTH_CM = 0.52 * LETTER_CM


@dataclass(frozen=True)
class Scene:
    """What is to be seen: the feeder, its target, the cone of balls from there, and the two ready positions.

    `before`: where the feeder stood before it was moved. `ready_before`: where the player was ready for it there.
    """

    feeder: Place
    target: Place
    cone: Cone
    ready: Place
    midpoint: Place
    before: Place | None = None
    ready_before: Place | None = None

    @property
    def half_width_cm(self) -> float:
        """Half of what the drawing spans sideways. A cone that opens very wide is cut off at the edge."""
        reach_cm = max(abs(end_cm) for end_cm in self.cone.reach_cm(READY_LINE_CM)) + MARGIN_CM / 2
        feeders_cm = max(abs(place.y_cm) for place in self._feeders()) + MARGIN_CM
        return max(LEAST_HALF_WIDTH_CM, min(reach_cm, MOST_HALF_WIDTH_CM), feeders_cm)

    @property
    def top_cm(self) -> float:
        """The x at the upper edge of the drawing."""
        return min(0.0, *(place.x_cm for place in self._feeders())) - MARGIN_CM

    def _feeders(self) -> list[Place]:
        return [place for place in (self.feeder, self.before, self.feeder) if place is not None]


def drawn(scene: Scene, alternative: str) -> Markup:
    """The drawing as a picture for a page, with its alternative text.

    As a picture of its own, for a page's HTML is cleaned of SVG; it follows the page's light or dark all the same.
    """
    data = b64encode(svg(scene).encode()).decode()
    return element("img", src=f"data:image/svg+xml;base64,{data}", alt=alternative, class_="hall")


def svg(scene: Scene) -> Markup:
    """The drawing."""
    half, top = scene.half_width_cm, scene.top_cm
    width, height = 2 * half, READY_LINE_CM + MARGIN_CM + LETTER_CM - top
    return element(
        "svg",
        _DRAWING_STYLE,
        _surface(),
        _cone(scene.cone),
        *_lines(half),
        *_moved_from(scene),
        *_feed(scene),
        *_player(scene),
        *_scale(half, top),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"{-half:g} {top:g} {width:g} {height:g}",
        width=f"{width:g}",
        height=f"{height:g}",
    )


def _cone(cone: Cone) -> Markup:
    left_cm, right_cm = cone.reach_cm(READY_LINE_CM)
    corners = [(cone.apex.y_cm, cone.apex.x_cm), (left_cm, READY_LINE_CM), (right_cm, READY_LINE_CM)]
    points = " ".join(f"{across:.1f},{down:.1f}" for across, down in corners)
    return element("polygon", points=points, class_="cone")


def _lines(half_width_cm: float) -> tuple[Markup, ...]:
    return (
        _line((0, 0), (0, TABLE_LENGTH_CM), "centre-line"),
        _line((-NET_HALF_SPAN_CM, NET_X_CM), (NET_HALF_SPAN_CM, NET_X_CM), "net"),
        _text("net", NET_HALF_SPAN_CM + 4, NET_X_CM + 4, half_width_cm, anchor="start"),
    )


def _surface() -> Markup:
    width, length = f"{TABLE_WIDTH_CM:g}", f"{TABLE_LENGTH_CM:g}"
    return element("rect", x=f"{-HALF_WIDTH_CM:g}", y=0, width=width, height=length, class_="surface")


def _moved_from(scene: Scene) -> tuple[Markup, ...]:
    if scene.before is None:
        return ()
    label = _text("before", scene.before.y_cm, scene.before.x_cm - 16, scene.half_width_cm)
    return (_line(_at(scene.before), _at(scene.feeder), "move"), _box(scene.before, "feeder was"), label)


def _feed(scene: Scene) -> tuple[Markup, ...]:
    across, down = _at(scene.target)
    cross = f"M{across - 6:g} {down - 6:g}l12 12M{across - 6:g} {down + 6:g}l12 -12"
    return (
        _line(_at(scene.feeder), (across, down), "feed"),
        _box(scene.feeder, "feeder"),
        _text("feeder", scene.feeder.y_cm, scene.feeder.x_cm - 16, scene.half_width_cm),
        element("path", d=cross, class_="target"),
        _text("target", across, down - 10, scene.half_width_cm),
    )


def _player(scene: Scene) -> tuple[Markup, ...]:
    half = scene.half_width_cm
    was = () if scene.ready_before is None else (_circle(scene.ready_before, "ready was"),)
    return (
        _line((-half, READY_LINE_CM), (half, READY_LINE_CM), "ready-line"),
        *was,
        _circle(scene.ready, "ready"),
        element("path", d=_diamond(scene.midpoint), class_="midpoint"),
        _text("ready position", scene.ready.y_cm, READY_LINE_CM + 24, half),
        _text("◇ middle of the reach", scene.midpoint.y_cm, READY_LINE_CM + 42, half),
    )


def _scale(half_width_cm: float, top_cm: float) -> tuple[Markup, ...]:
    left, down = -half_width_cm + 10, top_cm + 30
    return (
        _line((left, down), (left + 50, down), "scale"),
        _text("50 cm", left, down - 6, half_width_cm, anchor="start"),
    )


def _at(place: Place) -> tuple[float, float]:
    """Across and down the drawing."""
    return place.y_cm, place.x_cm


def _line(begin: tuple[float, float], end: tuple[float, float], kind: str) -> Markup:
    places = {name: f"{value:g}" for name, value in zip(("x1", "y1", "x2", "y2"), (*begin, *end), strict=True)}
    return element("line", class_=kind, **places)


def _box(place: Place, kind: str) -> Markup:
    return element("rect", x=f"{place.y_cm - 10:g}", y=f"{place.x_cm - 10:g}", width=20, height=20, rx=4, class_=kind)


def _circle(place: Place, kind: str) -> Markup:
    return element("circle", cx=f"{place.y_cm:.1f}", cy=f"{place.x_cm:g}", r=9, class_=kind)


def _diamond(place: Place) -> str:
    return f"M{place.y_cm:.1f} {place.x_cm - 6:g}l6 6l-6 6l-6 -6z"


def _text(words: str, across: float, down: float, half_width_cm: float, anchor: str = "middle") -> Markup:
    """A label, moved inwards where it would run over the edge."""
    length = len(words) * _LETTER_WIDTH_CM
    room = {"middle": (length / 2, length / 2), "start": (0.0, length)}[anchor]
    inward = min(max(across, -half_width_cm + room[0]), half_width_cm - room[1])
    return element("text", words, x=f"{inward:.1f}", y=f"{down:g}", text_anchor=anchor)


def legend(entries: Iterable[tuple[str, str]]) -> Markup:
    """What the signs of the drawing mean: pairs of a sign and its meaning."""
    items = [element("li", element("b", sign), f" {meaning}") for sign, meaning in entries]
    return element("ul", *items, class_="hall-legend")


# Both themes from one text: the page sets color-scheme, light-dark() follows it. Signs differ in shape and not only in
# colour; text keeps 4.5 to 1 on every ground it stands on.
_DRAWING_STYLE = Markup("""<style>
svg { color-scheme: light dark; color: light-dark(#14181C, #F0F2F4); font-family: system-ui, sans-serif; }
text { font-size: 14px; fill: currentColor; stroke: light-dark(#FFFFFF, #171614); stroke-width: 3px;
  paint-order: stroke; }
.surface { fill: light-dark(#DCEAF4, #17303F); stroke: light-dark(#1F5F8B, #8CC4E8); stroke-width: 2; }
.centre-line { stroke: light-dark(#1F5F8B, #8CC4E8); stroke-width: 0.8; }
.net { stroke: currentColor; stroke-width: 3; }
.cone { fill: light-dark(#E69F0033, #E69F0040); stroke: light-dark(#8A5A00, #F3C14B); stroke-width: 1.2;
  stroke-dasharray: 5 4; }
.feed { stroke: currentColor; stroke-width: 2; }
.move { stroke: currentColor; stroke-width: 1.5; stroke-dasharray: 2 4; }
.feeder { fill: currentColor; stroke: currentColor; stroke-width: 2; }
.target { stroke: light-dark(#A83A00, #FF8A4C); stroke-width: 4; fill: none; }
.ready { fill: light-dark(#00664D, #35C99F); stroke: light-dark(#00664D, #35C99F); stroke-width: 2; }
.midpoint { fill: light-dark(#FFFFFF, #171614); stroke: currentColor; stroke-width: 2; }
.was { fill: none; stroke-dasharray: 3 3; }
.ready-line { stroke: currentColor; stroke-width: 0.8; stroke-dasharray: 1 5; }
.scale { stroke: currentColor; stroke-width: 2; }
</style>""")
