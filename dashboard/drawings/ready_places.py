"""The ready-made places of a feeder on the table from above: those that are picked are filled."""

from collections.abc import Collection, Mapping

from dashboard.drawings.markup import Markup, joined
from dashboard.drawings.skins import SCREEN
from dashboard.drawings.svg import circle, group, picture, text
from dashboard.drawings.table_above import Ground, ready_feet, surface
from models.table import TABLE_LENGTH_CM

LEFT, TOP, WIDE, TALL = -110.0, -60.0, 220.0, 380.0
RADIUS = 17.0

Place = tuple[float, float]
"""Towards the player and to the player's right, in cm."""


def places_drawing(places: Mapping[str, Place], picked: Collection[str], width: float, alternative: str) -> Markup:
    """The table with its player below; each place is a disc with its code."""
    marks = (_mark(code, y_cm, x_cm, is_picked=code in picked) for code, (x_cm, y_cm) in places.items())
    scale = width / WIDE
    scene = joined(surface(Ground()), ready_feet((0, TABLE_LENGTH_CM + 26)), *marks)
    return picture(
        group(scene, at=(-LEFT * scale, -TOP * scale), scale=scale),
        width=width,
        height=TALL * scale,
        alternative=alternative,
    )


def _mark(code: str, across: float, down: float, *, is_picked: bool) -> Markup:
    fill, ink = (SCREEN.ink, SCREEN.card) if is_picked else (SCREEN.card, SCREEN.ink)
    disc = circle(across, down, RADIUS, fill=fill, stroke=SCREEN.ink, stroke_width="2.5")
    return joined(disc, text(across, down + 6, code, size=17, fill=ink, anchor="middle"))
