"""The table from above, as its player sees it: the player below, the feeder beyond the net.

One unit is one centimetre: down is x, towards the player; across is y, the player's right. The parts are put together
by whoever draws a scene.
"""

from dataclasses import dataclass

from dashboard.drawings.markup import Markup, joined
from dashboard.drawings.signs import SIGN, ready
from dashboard.drawings.skins import SCREEN, Skin
from dashboard.drawings.svg import circle, group, number, path, rect
from models.table import HALF_WIDTH_CM, NET_HALF_SPAN_CM, NET_X_CM, TABLE_LENGTH_CM, TABLE_WIDTH_CM


@dataclass(frozen=True)
class Ground:
    """On what a scene is drawn: its colours, how thick its lines are, how much its length is pressed together."""

    skin: Skin = SCREEN
    heavy: float = 1.0
    pressed: float = 1.0

    def at(self, x_cm: float, y_cm: float) -> tuple[float, float]:
        """Where a place of the hall is in the drawing: across, down."""
        return y_cm, x_cm * self.pressed


def surface(ground: Ground) -> Markup:
    """The playing surface, its lines and the net."""
    skin, heavy = ground.skin, ground.heavy
    length, net = TABLE_LENGTH_CM * ground.pressed, NET_X_CM * ground.pressed
    outline = rect(-HALF_WIDTH_CM, 0, TABLE_WIDTH_CM, length, fill=skin.table, stroke=skin.tableline)
    return joined(
        group(outline, stroke_width=number(2.4 * heavy)),
        path(f"M0 0V{number(length)}", stroke=skin.tableline, stroke_width=number(0.9 * heavy)),
        path(
            f"M{number(-NET_HALF_SPAN_CM)} {number(net)}H{number(NET_HALF_SPAN_CM)}",
            stroke=skin.ink,
            stroke_width=number(4 * heavy),
        ),
    )


_FEEDER = "M-1 -.7Q-1 -1 -.7 -1H.7Q1 -1 1 -.7V.45Q1 .7 .75 .7H.42V1.35H-.42V.7H-.75Q-1 .7 -1 .45Z"


def feeder(place: tuple[float, float], turn_deg: float, *, size: float = 28, skin: Skin = SCREEN) -> Markup:
    """A block with a mouth; the mouth shows where the head is turned, in degrees to the player's right."""
    block = path(_FEEDER, fill=skin.ink, stroke=skin.card, stroke_width=".14", stroke_linejoin="round")
    return group(block, at=place, turn_deg=-turn_deg, scale=size / 2)


def landing(place: tuple[float, float], size: float = 8.5, skin: Skin = SCREEN) -> Markup:
    """A ring with a dot: here the ball lands."""
    x, y = place
    outer = circle(x, y, size, fill=skin.card, stroke=skin.ink, stroke_width=number(0.3 * size))
    return joined(outer, circle(x, y, 0.38 * size, fill=skin.ink))


def second_bounce(place: tuple[float, float], skin: Skin = SCREEN) -> Markup:
    """A small ring: here it would bounce again."""
    return circle(*place, 5.2, fill=skin.card, stroke=skin.ink, stroke_width="2")


def ready_feet(place: tuple[float, float], size: float = 30, skin: Skin = SCREEN) -> Markup:
    """A pair of feet: here the player is ready."""
    x, y = place
    return group(ready(), at=(x - size / 2, y - size / 2), scale=size / SIGN, color=skin.ink)


def badge(place: tuple[float, float], sign: Markup, size: float = 42, skin: Skin = SCREEN) -> Markup:
    """A sign on a disc, so that it reads on the table."""
    x, y = place
    inside = 0.66 * size
    disc = circle(x, y, size / 2, fill=skin.card, stroke=skin.ink, stroke_width=number(0.055 * size))
    return joined(disc, group(sign, at=(x - inside / 2, y - inside / 2), scale=inside / SIGN, color=skin.ink))
