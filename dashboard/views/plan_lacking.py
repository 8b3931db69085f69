"""What a player still lacks beside the plan on the workbench: a touch adds it."""

from typing import Any

import streamlit as st

from dashboard.drawings.ball_drawing import ball_drawing, two_lines
from dashboard.drawings.balls import Ball
from dashboard.drawings.markup import Markup, element
from dashboard.drawings.signs import Hand
from dashboard.views.drawn import show
from dashboard.views.plan_acts import not_today
from dashboard.views.plan_work import Work, change, decide
from dashboard.words.phrases import verbatim
from models import plan_edits
from models.planned import LeftOut

SHOWN_FIRST = 6
MOST_SHOWN = 60

FROM_NOWHERE = "no setup stands so"


def show_lacking(work: Work, hand: Hand) -> None:
    """The most wanted first; the rest one touch away."""
    st.header("Still lacking")
    left = work.plan.left_out
    if not left:
        st.caption("Everything that is lacking is in the plan.")
        return
    st.caption(f"{len(left)} kind{'' if len(left) == 1 else 's'} of ball; the most wanted first. Add one to the plan.")
    _cards(left[:SHOWN_FIRST], hand, "first")
    # So many drawings and buttons were a third of the page: the rest is made where somebody asks for it.
    if len(left) > SHOWN_FIRST and st.toggle(f"Show all {len(left)}", key="plan-lacking-all"):
        _cards(left[SHOWN_FIRST:MOST_SHOWN], hand, "rest")


def _cards(left: tuple[LeftOut, ...], hand: Hand, where: str) -> None:
    with st.container(key=f"hl-lacking-{where}"):
        for one in left:
            with st.container(key=f"hl-lack-{one.gap.rank}"):
                show(_drawn(one, hand))
                with st.container(horizontal=True):
                    _acts(one)


def _drawn(one: LeftOut, hand: Hand) -> Markup:
    ball = Ball.of(one.gap.words)
    first, second = two_lines(ball)
    why = {"not_today": "not today", "no_setup": FROM_NOWHERE}.get(one.why)
    words = [element("b", first), element("span", second), *([element("span", why, class_="hl-quiet")] if why else [])]
    return element("div", ball_drawing(ball, 56, hand=hand, alternative=None), *words, class_="hl-lack")


def _acts(one: LeftOut) -> None:
    rank, told = one.gap.rank, verbatim(Ball.of(one.gap.words).in_words())
    is_out = one.why == "not_today"
    st.button("Add", key=f"plan-add-{rank}", disabled=one.why == "no_setup", on_click=_add, args=(one,), help=told)
    if not is_out:
        st.button("Not today", key=f"plan-not-{rank}", on_click=not_today, args=(one.gap.cell,), help=told)


def _add(one: LeftOut) -> None:
    if one.why == "not_today":
        decide(one.gap.cell, None)
    change(lambda work: _added(work, one))


def _added(work: Work, one: LeftOut) -> Any:
    return plan_edits.added(work.plan, one.gap, work.proposal.stands.values(), work.settings)
