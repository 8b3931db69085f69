"""The plan of the hall that is kept for today: how far each child is, and taking it back."""

from collections.abc import Mapping, Sequence
from datetime import date

import streamlit as st

from dashboard import questions
from dashboard.paper.addresses import hall_path
from dashboard.questions import Desk
from dashboard.services import halls_kept
from dashboard.views.on_paper import offer_paper
from dashboard.words import hall as words
from dashboard.words import phrases
from dashboard.words.plan import PAST_RULE
from models.hall.kept import KeptHall


def show_kept(desk: Desk, day: date) -> None:
    """Every plan that is kept for a day; then those of past days, one click away. Nothing where none is."""
    names = questions.names_by_code(desk)
    for kept in halls_kept.halls_of(desk, day):
        with st.container(border=True):
            st.markdown(f"**Kept for today, {kept.begins_at}**: {kept.done} of {len(kept.turns)} turns done.")
            st.caption(words.fed_of_planned(kept, names))
            _offer_acts(desk, kept)
    if days := halls_kept.days_before(desk, day):
        with st.expander("Earlier sessions, and what was done"):
            _show_earlier(desk, days, day, names)


def _show_earlier(desk: Desk, days: Sequence[date], seen_from: date, names: Mapping[str, str]) -> None:
    chosen = st.selectbox("Day", days, format_func=lambda one: phrases.day(one, seen_from), key="hall-earlier")
    for kept in halls_kept.halls_of(desk, chosen):
        st.markdown(f"**{kept.begins_at}**: {kept.done} of {len(kept.turns)} turns done.")
        st.markdown(words.fed_of_planned(kept, names))
    st.caption(PAST_RULE)


def _offer_acts(desk: Desk, kept: KeptHall) -> None:
    with st.container(horizontal=True):
        offer_paper("Print it, A4 (PDF)", hall_path(kept.meant_for, kept.begins_at))
        offer_paper("Letter (PDF)", hall_path(kept.meant_for, kept.begins_at, "letter"))
    if st.button("Take this plan back", icon=":material/delete:", key=f"hall-drop-{kept.begins_at}"):
        halls_kept.drop(desk, kept)
        st.rerun()
