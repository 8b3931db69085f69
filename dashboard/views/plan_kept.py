"""A plan that is kept for a player, as the coach's and the player's page tell it."""

import streamlit as st

from dashboard import questions
from dashboard.questions import Desk
from dashboard.services import plans
from dashboard.words import plan as plan_words
from dashboard.words.phrases import verbatim
from ingest.club_day import today
from models.kept_plan import KeptPlan


def tell_kept(desk: Desk, player: str, title: str) -> KeptPlan | None:
    """The plan for a player's next session, block by block; None, and nothing said, where there is none."""
    plan = plans.next_kept(desk, player, today())
    if plan is None:
        return None
    setups = {setup.setup_id: setup.name for setup in questions.setups_met_by(desk, player)}
    st.header(title)
    st.markdown(f"**{verbatim(plan_words.kept_head(plan, today()))}**")
    st.markdown("\n".join(f"1. {verbatim(line)}" for line in plan_words.kept_lines(plan, setups)))
    return plan


def tell_past(desk: Desk, player: str) -> None:
    """The player's past plans, each held against what was fed on its day; nothing where none is kept."""
    plans_before = plans.past(desk, player, today())
    if not plans_before:
        return
    setups = {setup.setup_id: setup.name for setup in questions.setups_met_by(desk, player)}
    with st.expander("Earlier plans, and what was done"):
        for plan in plans_before:
            st.markdown(f"**{verbatim(plan_words.past_line(plan, today()))}**")
            st.markdown("\n".join(f"1. {verbatim(line)}" for line in plan_words.kept_lines(plan, setups)))
        st.caption(plan_words.PAST_RULE)
