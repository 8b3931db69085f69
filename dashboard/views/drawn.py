"""How drawings come onto a page."""

from collections.abc import Callable

import streamlit as st

from dashboard.drawings.markup import Markup, element, joined
from dashboard.drawings.signs import Hand
from dashboard.rows.coach import BoardRow

NARROW = 340
"""Pixels of a drawing on a phone."""


def show(*parts: str) -> None:
    """Put drawings and elements onto the page. They begin with a block element, or Markdown would read their words."""
    st.markdown(joined(list(parts)), unsafe_allow_html=True, width="stretch")


def for_both(drawn: Callable[[float], Markup], wide: float) -> list[Markup]:
    """A drawing for a desk and the same for a phone; the stylesheet shows one of them."""
    return [element("div", drawn(wide), class_="hl-wide"), element("div", drawn(NARROW), class_="hl-narrow")]


def hand_of(me: BoardRow) -> Hand:
    """The hand by which drawings turn; who plays with both hands sees them as a right-hander does."""
    return "left" if me.handedness == "left" else "right"
