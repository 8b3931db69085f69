"""Save a place that was tried on the drawing as a setup of the log."""

import streamlit as st

from dashboard import questions
from dashboard.questions import Desk
from dashboard.views.frame import refusals_told
from dashboard.views.line_form import ask_line, faults, send, tell_what_became
from models.feeder_setup import FeederSetup
from models.feeding_records import Setup
from models.records import columns_of

FORM = "setups-place"
ASKED = ("setup", "name", "valid_from", "note")


def offer_to_save_place(desk: Desk, place: FeederSetup) -> None:
    """Ask for a code, and save what is on the drawing under it; only of a place that has none."""
    if place.code is not None:
        return
    tell_what_became(FORM)
    with st.expander("Save this place", icon=":material/save:", expanded=bool(faults(FORM))), st.form(FORM):
        st.caption("An example: ML, middle left. With a code that is there already, give the day from which it moves.")
        columns = [column for column in columns_of(Setup) if column.name in ASKED]
        values = ask_line(FORM, columns, {}, {})
        is_sent = st.form_submit_button("Save it as a setup", icon=":material/save:")
    if is_sent:
        there = questions.setup_names(desk) if values["valid_from"] is None else {}
        line = values | {
            "feeder": place.feeder_id,
            "x_cm": place.x_cm,
            "y_cm": place.y_cm,
            "release_height_cm": place.height_cm,
        }
        with refusals_told():
            send(desk, FORM, "setups", [line], taken=there)
