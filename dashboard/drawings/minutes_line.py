"""The minutes of a session as one line: blocks place by place, the moves of the feeder between, and what is left."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from dashboard.drawings.markup import Markup, element
from dashboard.drawings.skins import SCREEN, Skin
from dashboard.drawings.svg import number, path, picture, rect, text

HEIGHT = 26.0
_LETTER = 6.6
"""About so wide is a letter of these words: those that do not fit into their part are not drawn."""


@dataclass(frozen=True)
class Stretch:
    """So many minutes, of what, and in words."""

    minutes: float
    kind: Literal["feeding", "moving", "closing", "left"]
    words: str


def minutes_line(stretches: Sequence[Stretch], width: float, skin: Skin = SCREEN, alternative: str = "") -> Markup:
    """The line, as wide as all its minutes."""
    whole = sum(one.minutes for one in stretches) or 1.0
    hatch = f"hl-moves-{width:.0f}"
    parts: list[Markup] = [_hatch(hatch, skin)]
    x = 0.0
    for one in stretches:
        wide = width * one.minutes / whole
        parts.extend(_stretch(one, x, wide, hatch, skin))
        x += wide
    return picture(
        *parts,
        width=width,
        height=HEIGHT,
        alternative=alternative or "; ".join(one.words for one in stretches),
        skin=skin,
        class_="hl-minutes",
    )


def _stretch(one: Stretch, x: float, wide: float, hatch: str, skin: Skin) -> list[Markup]:
    fills = {"feeding": (skin.met, skin.onmet), "closing": (skin.few, skin.ink), "left": (skin.card, skin.soft)}
    fill, ink = fills.get(one.kind, (f"url(#{hatch})", skin.ink))
    box = rect(x, 0.5, max(wide - 1, 0.5), HEIGHT - 1, fill=fill, stroke=skin.edge, stroke_width="1")
    if one.kind == "moving" or len(one.words) * _LETTER > wide - 6:
        return [box]
    return [box, text(x + wide / 2, HEIGHT / 2 + 4.5, one.words, fill=ink, anchor="middle")]


def _hatch(name: str, skin: Skin) -> Markup:
    lines = path("M0 6L6 0", stroke=skin.stale, stroke_width="1.4")
    ground = rect(0, 0, 6, 6, fill=skin.stalesoft)
    pattern = element(
        "pattern", ground, lines, id=name, width=number(6), height=number(6), patternUnits="userSpaceOnUse"
    )
    return element("defs", pattern)
