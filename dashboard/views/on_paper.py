"""The way from a page to the same on paper."""

import streamlit as st

from dashboard.drawings.markup import element


def offer_paper(words: str, path: str) -> None:
    """A link to the route that makes the PDF when it is followed, and asks again who is there."""
    st.html(element("a", words, href=path, class_="hl-act hl-inline"))
