"""The colours of a drawing, by what they mean: on a screen those of the page, on paper greys.

Colour says the state of a ball, shape says which ball it is. On a screen each colour is a variable of the one
stylesheet, so that a drawing follows light and dark by itself.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Skin:
    """A colour for each meaning, as SVG understands it."""

    card: str
    ink: str
    soft: str
    line: str
    edge: str
    table: str
    tableline: str
    met: str
    onmet: str
    few: str
    stale: str
    stalesoft: str
    next: str
    nextmark: str
    onnext: str
    band: str
    family: str | None = None
    """The letters, where a drawing does not take those of its page."""


_MEANINGS = tuple(name for name in Skin.__dataclass_fields__ if name != "family")

SCREEN = Skin(**{name: f"var(--hl-{name})" for name in _MEANINGS})
PAPER = Skin(
    card="#ffffff",
    ink="#000000",
    soft="#333333",
    line="#bbbbbb",
    edge="#666666",
    table="#f4f4f4",
    tableline="#000000",
    met="#333333",
    onmet="#ffffff",
    few="#dddddd",
    stale="#333333",
    stalesoft="#ffffff",
    next="#000000",
    nextmark="#000000",
    onnext="#ffffff",
    band="#dddddd",
    family="Sofia Sans",
)
