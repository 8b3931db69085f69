"""Check balls: where single balls to the middle landed, and so which way to turn the head."""

import streamlit as st

from dashboard.questions import Desk
from dashboard.views.setups_asked import ask_setup_or_place
from dashboard.words.cautions import IN_SHORT
from dashboard.words.setup_check import correction
from dashboard.words.setup_definitions import of_check_balls
from models.check_ball import correct_head
from models.feeder_setup import FeederSetup
from models.landing_notes import landings_noted

HOW = (
    "Set the feeder for the middle, without sidespin, and play four or five single balls. Note each on a line of its "
    "own: how many cm beside the centre line it landed, and on which side **as the player sees it**. If it did not "
    "land about 30 cm before the player's end line, add how far before it."
)


def check_balls(desk: Desk, setups: list[FeederSetup]) -> None:  # noqa: ARG001 - as every section
    """Ask where the balls landed, and say how to turn the head."""
    setup = ask_setup_or_place("Where the feeder stands", setups, "checked")
    st.markdown(HOW)
    notes = st.text_area("Where the balls landed", key="setups-notes", placeholder="12 left\n8 left\n15 left, 45")
    st.button("How do I turn the head?")
    st.caption(IN_SHORT)
    landings = landings_noted(notes)
    if not landings:
        return
    for sentence in correction(correct_head(setup.place, landings)):
        st.markdown(sentence)
    with st.popover("What are these numbers?", icon=":material/help:"):
        st.markdown(of_check_balls())
