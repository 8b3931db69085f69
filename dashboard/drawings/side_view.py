"""A ball from the side: the feeder on the left, the net, the arc and its bounces, the player on the right.

One unit of the drawing is one centimetre, the table's surface is at 0. The stand and the player are no measure.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from dashboard.drawings.markup import Markup, element
from dashboard.drawings.skins import SCREEN
from dashboard.drawings.svg import circle, group, number, path, picture, rect, text
from models.ready import READY_LINE_CM
from models.table import NET_HEIGHT_CM, NET_X_CM, TABLE_LENGTH_CM

Path = Sequence[tuple[float, float, float]]
"""Points x, y and height in cm, from the release to the second bounce."""

RIGHT_CM, FLOOR_CM, LEAST_TOP_CM = READY_LINE_CM + 34, 30.0, 92.0


@dataclass(frozen=True)
class Side:
    """What is to be seen: the ball's path; `before`, that of the same ball before the feeder was moved."""

    path: Path
    before: Path = ()

    @property
    def net_height_cm(self) -> float | None:
        """How high the ball's centre passes the net; None where it does not get there."""
        return _height_at(self.path, NET_X_CM)


def _height_at(path: Path, x_cm: float) -> float | None:
    """The height on the way to the first bounce, between the two points around a place."""
    for (x0, _, z0), (x1, _, z1) in pairwise(path):
        if x0 <= x_cm <= x1 and x1 > x0:
            return z0 + (z1 - z0) * (x_cm - x0) / (x1 - x0)
    return None


def bounces(path: Path) -> list[float]:
    """The x of the lowest points: where the ball first bounces, and where it does so again."""
    lowest = [x for (_, _, a), (x, _, b), (_, _, c) in zip(path, path[1:], path[2:], strict=False) if b < a and b <= c]
    return [*lowest[:1], path[-1][0]] if path else []


def side_view(side: Side, net_words: str, alternative: str, width: float = 540) -> Markup:
    """The drawing; `net_words` stand where the ball passes the net."""
    points = [*side.path, *side.before]
    left = min([-46.0, *(way[0][0] - 46 for way in (side.path, side.before) if way)])
    top = -max([LEAST_TOP_CM, *(z + 16 for _, _, z in points)])
    high, wide = FLOOR_CM + 4 - top, RIGHT_CM - left
    return picture(
        *_hall(left),
        _player(),
        *([_feeder(side.before, is_ghost=True), _arc(side.before, is_ghost=True)] if side.before else []),
        *([_feeder(side.path), _arc(side.path), *_over_the_net(side, net_words), *_bounces(side.path)]),
        width=width,
        height=width * high / wide,
        box=f"{number(left)} {number(top)} {number(wide)} {number(high)}",
        alternative=alternative,
        class_="hl-side",
    )


def _hall(left: float) -> tuple[Markup, ...]:
    return (
        path(f"M{number(left)} {FLOOR_CM:g}H{RIGHT_CM:g}", stroke=SCREEN.line, stroke_width="1.2"),
        rect(0, 4, TABLE_LENGTH_CM, 5, fill=SCREEN.table),
        rect(0, 0, TABLE_LENGTH_CM, 4, fill=SCREEN.tableline),
        path(f"M{NET_X_CM:g} 0V{-NET_HEIGHT_CM:g}", stroke=SCREEN.ink, stroke_width="3"),
    )


_BODY = "M8 -62C16 -48 18 -30 16 -14L10 6L14 28M16 -14L26 8L22 28M8 -56L-8 -40L-20 -46"


def _player() -> Markup:
    body = path(_BODY, stroke=SCREEN.soft, stroke_width="6.5", stroke_linecap="round", stroke_linejoin="round")
    bat = group(element("ellipse", rx=6, ry="8.4", fill=SCREEN.soft), at=(-25, -50), turn_deg=30)
    return group(circle(4, -74, 8.5, fill=SCREEN.soft), body, bat, at=(READY_LINE_CM - 4, 0))


def _feeder(way: Path, *, is_ghost: bool = False) -> Markup:
    """A block with its outlet where the ball leaves it, on a stand."""
    x, _, z = way[0] if way else (0.0, 0.0, 25.0)
    look = {"fill": "none", "stroke": SCREEN.ink, "stroke_width": "1.4", "stroke_dasharray": "4 3"}
    look = look if is_ghost else {"fill": SCREEN.ink, "stroke": SCREEN.card, "stroke_width": "1.2"}
    block = path("M-28 -9Q-28 -13 -24 -13H-8V-6H0V4H-8V13H-28Z", **look)
    stand = path(f"M-18 13V{number(z + 28)}M-30 {number(z + 28)}H-6", stroke=SCREEN.ink, stroke_width="3.2")
    return group(block, *([] if is_ghost else [stand]), at=(x, -z), class_="was" if is_ghost else None)


def _arc(way: Path, *, is_ghost: bool = False) -> Markup:
    points = " ".join(f"{number(x)},{number(-z)}" for x, _, z in way if x < RIGHT_CM - 10)
    look = {"stroke": SCREEN.ink, "stroke_width": "2.2"}
    look = {"stroke": SCREEN.soft, "stroke_width": "1.8", "stroke_dasharray": "5 4"} if is_ghost else look
    return element(
        "polyline", points=points, fill="none", stroke_linejoin="round", class_="arc-was" if is_ghost else "arc", **look
    )


def _over_the_net(side: Side, words: str) -> tuple[Markup, ...]:
    height = side.net_height_cm
    if height is None:
        return ()
    up = path(
        f"M{NET_X_CM:g} {-NET_HEIGHT_CM:g}V{number(-height)}",
        stroke=SCREEN.nextmark,
        stroke_width="1.6",
        stroke_dasharray="3 2",
    )
    said = text(NET_X_CM + 6, -height - 8, words, size=10, fill=SCREEN.next, font_weight="650")
    return (up, said)


def _bounces(way: Path) -> tuple[Markup, ...]:
    drawn: list[Markup] = []
    for place, (x, words) in enumerate(zip(bounces(way), ("lands", "second bounce"), strict=False)):
        if x < RIGHT_CM - 20:
            spot = circle(x, -2, 4.2, fill=SCREEN.card if place else SCREEN.ink, stroke=SCREEN.ink, stroke_width="1.6")
            drawn += [spot, text(x, 20, words, size=10, fill=SCREEN.soft, anchor="middle")]
    return tuple(drawn)
