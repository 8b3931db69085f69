"""The signs for balls: each on a square of 16 by 16, in the colour of the words around it.

A sign never stands alone where a word fits. Those for words of the log are found by dimension and word.
"""

from collections.abc import Callable
from functools import lru_cache
from typing import Literal

from dashboard.drawings.markup import Markup, element, joined
from dashboard.drawings.skins import SCREEN, Skin
from dashboard.drawings.svg import circle, group, number, path, picture, rect, stroke
from models.words import PLACEMENT

SIGN = 16.0
"""The side of the square."""

Hand = Literal["right", "left"]


def shown(sign: Markup, size: float = SIGN, *, alternative: str | None = None, skin: Skin = SCREEN) -> Markup:
    """A sign as a picture among words."""
    box = f"0 0 {number(SIGN)} {number(SIGN)}"
    return picture(sign, width=size, height=size, box=box, alternative=alternative, skin=skin, class_="hl-sign")


def at(x: float, y: float, sign: Markup, size: float, colour: str) -> Markup:
    """A sign within a drawing, around the middle x, y."""
    return group(sign, at=(x - size / 2, y - size / 2), scale=size / SIGN, color=colour)


def dot(x: float, y: float, radius: float) -> Markup:
    """A full dot in the colour of the words around it."""
    return circle(x, y, radius, fill="currentColor")


def ring(x: float, y: float, radius: float, width: float = 1.6) -> Markup:
    """A hollow dot."""
    return circle(x, y, radius, **stroke(width))


@lru_cache(maxsize=256)
def sign(dimension: str, word: str, hand: Hand = "right") -> Markup:
    """The sign of a word of the log. Placement is drawn as the player sees it, so it depends on the hand."""
    if dimension == "placement":
        return _placement(word, hand)
    return _SIGNS.get(dimension, _initial)(word)


def _initial(word: str) -> Markup:
    """Where nothing is drawn for a dimension yet: the first letter of its word."""
    return element("text", word[:1].upper(), x=8, y="12.5", text_anchor="middle", font_size=13, fill="currentColor")


def spin(word: str, strength: int = 0) -> Markup:
    """The ball flies to the right; the arrow lies on the side that runs ahead: the top, or the underside.

    Topspin wears it like a cap, backspin lies in it like a bowl; no spin is a hollow ball. Dots tell the strength.
    """
    if word == "no_spin":
        return ring(8, 8, 4.6, 1.8)
    is_top = word == "topspin"

    def y(value: float) -> str:
        return number(value if is_top else SIGN - value)

    arc = path(f"M1.9 {y(7.4)}Q2.6 {y(2.6)} 8 {y(2.6)}Q10.2 {y(2.6)} 11.6 {y(3.7)}", **stroke(1.9))
    tip = path(f"M14.7 {y(7.2)}L9.3 {y(5.9)}L13.2 {y(1.6)}Z", **(stroke(0.5) | {"fill": "currentColor"}))
    ball_y, radius = (10, 2.8) if strength else (11.2, 3.3)
    pips = [dot(7.6 + (i - (strength - 1) / 2) * 3.2, float(y(14.8)), 1.1) for i in range(strength)]
    return joined(dot(7.6, float(y(ball_y)), radius), arc, tip, *pips)


def _fine_spin(word: str) -> Markup:
    how, _, kind = word.rpartition("_") if word != "no_spin" else ("", "", word)
    return spin(kind, {"light": 1, "heavy": 3}.get(how, 2))


def _sidespin(word: str) -> Markup:
    """From above: the ball comes down towards the player, and curves to their left or right."""
    if word == "none":
        return joined(path("M8 2V11", **stroke(1.7)), path("M5 9L8 12.5L11 9", **stroke(1.7)))
    way = -1 if word == "left" else 1

    def x(value: float) -> str:
        return number(8 + way * value)

    curve = path(f"M{x(-3)} 2C{x(-3)} 8 {x(-1)} 11 {x(4)} 12.5", **stroke(1.7))
    return joined(curve, path(f"M{x(0.6)} 14.4L{x(4.6)} 12.7L{x(2.6)} 9", **stroke(1.7)))


_ARCS = {
    "short": "M1 5.4C2.2 6.4 3.2 8.6 3.7 11.6C4.8 6.6 8 6.6 9.1 11.6",
    "half_long": "M1 4.2C2.6 5.4 4 8 4.7 11.6C6.2 4 11.9 4 13.4 11.6",
    "long": "M2.4 3.2C5 4.4 7.4 7.6 8.4 11.6C9.4 7.4 11.8 5 15.2 4.4",
}


def _length(word: str) -> Markup:
    """The player's half from the side: the second bounce falls on the table, on the end line, or beyond it."""
    return joined(path("M.9 13H13.4V15.4", **stroke(1.7)), path(_ARCS[word], **stroke(1.7)))


def _placement(word: str, hand: Hand) -> Markup:
    """The player's half from above, the net on top; the dot is where the ball comes."""
    from_forehand = PLACEMENT.names.index(word)
    across = (12.3, 10.3, 8, 5.7, 3.7)[from_forehand if hand == "right" else 4 - from_forehand]
    half = rect(1.4, 4, 13.2, 10.6, radius=0.8, **stroke(1.3))
    return joined(half, path("M.8 3.4H15.2", **stroke(2.1)), dot(across, 10, 2.3))


_TEMPOS = {"slow": (2.3, (3.6, 12.4)), "medium": (2.1, (2.8, 8, 13.2)), "fast": (1.75, (2, 6, 10, 14))}


def _tempo(word: str) -> Markup:
    """Balls on their way along the same stretch: few and wide apart, or many and close."""
    radius, places = _TEMPOS[word]
    return joined(path("M.9 12.6H15.1", **stroke(1.5)), *(dot(x, 7.6, radius) for x in places))


def _height(word: str) -> Markup:
    top = {"low": 6.6, "medium": 2.2, "high": -3.2}[word]
    net = joined(path("M1 14H15", **stroke(1.5)), path("M8 14V9.6", **stroke(1.7)))
    return joined(net, path(f"M2 11.6Q8 {top} 14 11.6", **stroke(1.6)))


def feeder_at(depth: str = "middle", side: str = "centre", hand: Hand = "right") -> Markup:
    """The far half from above, the net below; the block is the feeder."""
    way = {"backhand": -1, "centre": 0, "forehand": 1}[side] * (1 if hand == "right" else -1)
    y = {"back": 0.6, "middle": 4.8, "near": 8.2}[depth]
    half = joined(path("M2 13.6V2.6H14V13.6", **stroke(1.2)), path("M.8 14H15.2", **stroke(2)))
    return joined(half, rect(5.9 + way * 4, y, 4.2, 4.2, radius=1, fill="currentColor"))


def ready() -> Markup:
    """A pair of feet: here the player is ready."""
    return joined(*(_foot(8 + way * 3.2, way * 14) for way in (-1, 1)))


def _foot(x: float, turn_deg: float) -> Markup:
    turned = f"rotate({number(turn_deg)} {number(x)} 8)"
    return element("ellipse", cx=number(x), cy=8, rx="2.4", ry=5, transform=turned, fill="currentColor")


_SIGNS: dict[str, Callable[[str], Markup]] = {
    "depth": lambda word: feeder_at(depth=word),
    "side": lambda word: feeder_at(side=word),
    "spin_family": spin,
    "spin": _fine_spin,
    "sidespin": _sidespin,
    "length": _length,
    "height": _height,
    "tempo_band": _tempo,
}
