"""What was changed of the settings, by whom, and the way to take it back."""

from datetime import datetime

import streamlit as st

from dashboard.questions import Desk
from dashboard.services import settings_changed
from dashboard.views.line_form import begin_anew
from dashboard.views.refusals import under_way
from dashboard.words.phrases import verbatim
from dashboard.words.settings_groups import setting_called
from sql.club.settings_changes import SettingsChange


def show_changes(desk: Desk) -> None:
    """What was changed, by whom, and the way to take it back."""
    made = settings_changed.changes(desk)
    if not made:
        return
    club = desk.folder.settings()
    with st.expander("Changed lately, and taking it back", expanded=True):
        for one, who in made:
            at = club.local(datetime.fromisoformat(one.changed_at))
            with st.container(horizontal=True, vertical_alignment="center", key=f"hl-change-{one.change}"):
                st.markdown(verbatim(_change_told(one, who, at)), width="stretch")
                if not one.is_taken_back and st.button(f"Take change {one.change} back", icon=":material/undo:"):
                    take_back(desk, one.change)


def _change_told(one: SettingsChange, who: str | None, at: datetime) -> str:
    what = ", ".join(f"{setting_called(name)}: {value}" for name, value in one.after.items())
    state = " · taken back" if one.is_taken_back else ""
    return f"{one.change} · {what} · {who or 'somebody'}, {at:%d %b %Y, %H:%M}{state}"


def take_back(desk: Desk, number: int) -> None:
    """Take a change back, and begin the page anew."""
    with under_way("Taking it back, and making the figures anew …") as say:
        settings_changed.take_back(desk, number, say=say)
    begin_anew(f"Change {number} is taken back. A later change of the same setting stays.")
    st.rerun()
