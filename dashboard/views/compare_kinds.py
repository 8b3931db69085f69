"""The kinds of ball that two sides both met: each with the ball's drawing, two ranges on one line, and the figures."""

from collections.abc import Mapping, Sequence

import streamlit as st

from dashboard.drawings import sparks
from dashboard.drawings.ball_drawing import ball_drawing, two_lines
from dashboard.drawings.balls import Ball
from dashboard.drawings.markup import Markup, element
from dashboard.rows.building import Words
from dashboard.views.drawn import show
from dashboard.words import compare as compare_words
from dashboard.words.phrases import combination
from models.compare import Kind, Side

AT_ONCE = 8
"""So many kinds stand on the page at once; the others one touch away."""


def show_kinds(kinds: Sequence[Kind], words: Mapping[str, Words], called: Sequence[str]) -> None:
    """The kinds, those with most balls first. `words`: of a ball by its cell; `called`: the two sides."""
    with st.container(key="hl-card-kinds"):
        st.header(f"The {len(kinds)} kinds of ball that both met" if len(kinds) > 1 else "The one kind that both met")
        st.caption(compare_words.SINGLE_KINDS)
        show(_table(kinds[:AT_ONCE], words, called))
    if others := kinds[AT_ONCE:]:
        with st.expander(f"The other {len(others)}"):
            show(_table(others, words, called))


def _table(kinds: Sequence[Kind], words: Mapping[str, Words], called: Sequence[str]) -> Markup:
    marks = (sparks.first_mark(), sparks.other_mark())
    sides = (
        element("th", element("span", mark, name, class_="hl-side-name"), scope="col")
        for mark, name in zip(marks, called, strict=True)
    )
    picture = element("th", "In 100 that landed, with range", scope="col", class_="hl-ranges")
    head = element("thead", element("tr", element("th", "Ball", scope="col"), picture, *sides))
    rows = (_row(kind, words.get(kind.cell)) for kind in kinds)
    return element("div", element("table", head, element("tbody", *rows), class_="hl-kinds"), class_="hl-kinds-frame")


def _row(kind: Kind, words: Words | None) -> Markup:
    ranges = element("td", sparks.two_ranges(_range(kind.first), _range(kind.other)), class_="hl-ranges")
    figures = (element("td", *_figures(side)) for side in (kind.first, kind.other))
    return element("tr", element("th", _ball(kind.cell, words), scope="row"), ranges, *figures)


def _ball(cell: str, words: Words | None) -> Markup:
    if words is None:
        return Markup(element("span", cell))
    ball = Ball.of(words)
    what, way = two_lines(ball)
    told = element("div", element("b", what or combination(words)), element("span", way, class_="hl-quiet"))
    return element("div", ball_drawing(ball, 40, alternative=None), told, class_="hl-ball-row")


def _range(side: Side) -> sparks.Range | None:
    rate = side.success
    return (rate.low, rate.value, rate.high) if rate else None


def _figures(side: Side) -> tuple[Markup, Markup]:
    rate, spread = compare_words.in_short(side)
    return element("b", rate), element("small", spread)
