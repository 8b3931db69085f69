"""Patterns of the club: keep the plan on the workbench as one, or lay one out for this player."""

import streamlit as st

from dashboard.questions import Desk
from dashboard.services import plan_patterns
from dashboard.services.plan_patterns import MOST_NAME_LETTERS, PatternProblem
from dashboard.views.plan_work import Work, change
from dashboard.words.phrases import verbatim
from models.plan_pattern import LaidOut, Pattern

_TOLD = "pattern-told"


def offer_patterns(desk: Desk, work: Work) -> None:
    """Use one, keep one, take one out."""
    with st.popover("Patterns", icon=":material/bookmark:"):
        if told := st.session_state.pop(_TOLD, None):
            st.success(verbatim(told))
        kept = {pattern.number: pattern for pattern in plan_patterns.patterns(desk)}
        if kept:
            _offer_kept(desk, work, kept)
        name = st.text_input("Name for this plan as a pattern", max_chars=MOST_NAME_LETTERS, key="pattern-name")
        if st.button("Keep as a pattern"):
            _keep(desk, name, work)
        st.caption("A pattern holds blocks and balls, and nobody's name. Another of the same name takes its place.")


def _offer_kept(desk: Desk, work: Work, kept: dict[int, Pattern]) -> None:
    number = st.selectbox(
        "A pattern of the club", list(kept), format_func=lambda one: _called(kept[one]), key="pattern-chosen"
    )
    with st.container(horizontal=True):
        if st.button("Use it for this player"):
            _use(desk, work, kept[number])
        if st.button("Take it out"):
            plan_patterns.drop(desk, number)
            _tell(f"{kept[number].name} is no longer a pattern.")


def _called(pattern: Pattern) -> str:
    blocks = len(pattern.blocks)
    return f"{pattern.name}: {blocks} block{'' if blocks == 1 else 's'}, {sum(b.balls for b in pattern.blocks)} balls"


def _use(desk: Desk, work: Work, pattern: Pattern) -> None:
    found = plan_patterns.laid_out_for(desk, pattern, work.proposal)
    change(lambda _: found.plan, at=0)
    _tell(f"The blocks of {pattern.name} are laid out.{_left_away(found)}")


def _left_away(found: LaidOut) -> str:
    gone = ", ".join(found.missing_setups)
    return f" Without what was fed from {gone}: no such setup stands any more." if gone else ""


def _keep(desk: Desk, name: str, work: Work) -> None:
    try:
        called = plan_patterns.keep(desk, name, work.plan)
    except PatternProblem as problem:
        st.error(verbatim(str(problem)))
        return
    _tell(f"The plan is kept as the pattern {called}.")


def _tell(sentence: str) -> None:
    st.session_state[_TOLD] = sentence
    st.rerun()
