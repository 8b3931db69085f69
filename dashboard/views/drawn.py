"""How drawings come onto a page."""

from collections.abc import Callable, Sequence

import streamlit as st

from dashboard.drawings.ball_map import ball_map
from dashboard.drawings.ball_map_frame import Look
from dashboard.drawings.balls import Met
from dashboard.drawings.markup import Markup, element, joined
from dashboard.drawings.opened_places import opened_places
from dashboard.drawings.signs import Hand
from dashboard.rows.coach import BoardRow

NARROW = 340
"""Pixels of a drawing on a phone."""


def show(*parts: str) -> None:
    """Put drawings and elements onto the page. They begin with a block element, or Markdown would read their words."""
    st.markdown(joined(*parts), unsafe_allow_html=True, width="stretch")


def for_both(drawn: Callable[[float], Markup], wide: float) -> list[Markup]:
    """A drawing for a desk and the same for a phone; the stylesheet shows one of them."""
    return [element("div", drawn(wide), class_="hl-wide"), element("div", drawn(NARROW), class_="hl-narrow")]


def map_for_both(cells: Sequence[Met], look: Look, wide: float, title: str = "Map of balls") -> Markup:
    """A map for a desk and for a phone; where its cells are too small to touch, its places open below it."""
    maps = for_both(lambda width: ball_map(cells, width, look, title=title), wide)
    return element("div", *maps, *opened_places(cells, look, NARROW), class_="hl-openable")


def hand_of(me: BoardRow) -> Hand:
    """The hand by which drawings turn; who plays with both hands sees them as a right-hander does."""
    return "left" if me.handedness == "left" else "right"
