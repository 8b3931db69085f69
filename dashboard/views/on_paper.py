"""The way from a page to the same on paper."""

import streamlit as st

from dashboard.drawings.markup import element
from dashboard.views.frame import BUTTON


def offer_paper(words: str, path: str) -> None:
    """A link to the route that makes the PDF when it is followed, and asks again who is there."""
    # As in the sidebar, it takes the theme's own colours.
    style = f"{BUTTON}; display: inline-block; width: auto; text-decoration: none"
    st.html(element("a", words, href=path, style=style))
