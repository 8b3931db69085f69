"""Name and colour of the club."""

import streamlit as st

from dashboard.questions import Desk
from dashboard.services import settings_changed
from dashboard.views.line_form import begin_anew, rounds
from dashboard.views.refusals import under_way
from dashboard.views.settings_changes import show_changes
from dashboard.words.phrases import verbatim
from sql.settings_file import SettingsRefused


def name_the_club(desk: Desk) -> None:
    """Ask for both, save them, and show what was saved."""
    now = desk.folder.settings()
    with st.form("first-club", border=True):
        name = st.text_input("Name of the club *", now.club_name, key=f"first-club-name-{rounds()}")
        if fault := st.session_state.get("first-club-fault"):
            st.error(verbatim(fault), icon=":material/error:")
        colour = st.color_picker("Colour of the club", now.club_colour, key=f"first-club-colour-{rounds()}")
        is_sent = st.form_submit_button("Save name and colour", icon=":material/save:", type="primary")
    if is_sent:
        save(desk, name, colour)
    show_changes(desk)


def save(desk: Desk, name: str, colour: str) -> None:
    """Keep them, or say what is wrong with the name."""
    try:
        with under_way("Saving …") as say:
            number = settings_changed.change(desk, {"club_name": name.strip(), "club_colour": colour}, say=say)
    except SettingsRefused as problem:
        st.session_state["first-club-fault"] = problem.faults.get("club_name", str(problem))
        st.rerun()
    st.session_state.pop("first-club-fault", None)
    begin_anew(f"Saved, as change {number}. It can be taken back below.")
    st.rerun()
