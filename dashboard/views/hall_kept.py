"""The plan of the hall that is kept for today: how far each child is, and taking it back."""

from datetime import date

import streamlit as st

from dashboard import questions
from dashboard.paper.addresses import hall_path
from dashboard.questions import Desk
from dashboard.services import halls_kept
from dashboard.views.on_paper import offer_paper
from dashboard.words.phrases import verbatim
from models.hall.kept import KeptHall


def show_kept(desk: Desk, day: date) -> None:
    """Every plan that is kept for a day; nothing where none is."""
    names = questions.names_by_code(desk)
    for kept in halls_kept.halls_of(desk, day):
        with st.container(border=True):
            st.markdown(f"**Kept for today, {kept.begins_at}**: {kept.done} of {len(kept.turns)} turns done.")
            told = (f"{verbatim(names.get(p, p))} {fed} of {balls}" for p, (fed, balls) in kept.balls_by_player.items())
            st.caption(f"Balls fed of those planned: {', '.join(told)}.")
            _offer_acts(desk, kept)


def _offer_acts(desk: Desk, kept: KeptHall) -> None:
    offer_paper("Print it", hall_path(kept.meant_for, kept.begins_at))
    if st.button("Take this plan back", icon=":material/delete:", key=f"hall-drop-{kept.begins_at}"):
        halls_kept.drop(desk, kept)
        st.rerun()
