"""Words on a drawing to scale: with an edge that keeps them readable on lines, and never over the drawing's own."""

from dashboard.drawings.markup import Markup
from dashboard.drawings.skins import SCREEN
from dashboard.drawings.svg import text

LETTER_CM = 11.0
_LETTER_WIDTH_CM = 0.55 * LETTER_CM


def label(
    words: str,
    across: float,
    down: float,
    half_width_cm: float,
    anchor: str = "middle",
    fill: str = SCREEN.ink,
    **more: str,
) -> Markup:
    """Words with an edge that keeps them readable on lines, moved inwards where they would run over the edge."""
    length = len(words) * _LETTER_WIDTH_CM
    left, right = {"middle": (length / 2, length / 2), "start": (0.0, length), "end": (length, 0.0)}[anchor]
    inward = min(max(across, -half_width_cm + left), half_width_cm - right)
    edge = {"stroke": SCREEN.card, "stroke_width": "4", "paint_order": "stroke", "stroke_linejoin": "round"}
    return text(inward, down, words, size=LETTER_CM, fill=fill, anchor=anchor, font_weight="550", **(edge | more))
