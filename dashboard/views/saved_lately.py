"""What was saved lately in one of the club's lists, by whom, and the way to take it back."""

from datetime import datetime

import streamlit as st

from dashboard import questions
from dashboard.questions import Desk
from dashboard.rows.lists import SavedRow
from dashboard.services.logs import withdraw
from dashboard.views.frame import refusals_told
from dashboard.views.line_form import begin_anew
from dashboard.views.refusals import counted, under_way
from dashboard.words.phrases import verbatim


def show_saved_lately(desk: Desk, kind: str) -> None:
    """The last batches of the list; one touch takes one back, and what it had taken the place of is there again."""
    saved = questions.saved_lately(desk, kind)
    if not saved:
        return
    club = desk.folder.settings()
    with st.expander("Saved lately, and taking it back", expanded=True):
        st.caption("Whoever takes a batch back has the lines again that it had taken the place of. Nothing is deleted.")
        for one in saved:
            with st.container(horizontal=True, vertical_alignment="center", key=f"hl-saved-{one.batch}"):
                st.markdown(verbatim(_told(one, club.local(one.loaded_at))), width="stretch")
                if not one.is_withdrawn and st.button(f"Take batch {one.batch} back", icon=":material/undo:"):
                    with refusals_told():
                        _take_back(desk, one.batch)


def _told(one: SavedRow, at: datetime) -> str:
    state = " · taken back" if one.is_withdrawn else ""
    who = one.loaded_by or "somebody"
    return f"{one.batch} · {one.file_name} · {counted(one.lines_accepted, 'line')} · {who}, {at:%d %b %Y, %H:%M}{state}"


def _take_back(desk: Desk, batch: int) -> None:
    with under_way("Taking it back, and making the figures anew …") as say:
        withdraw(desk.folder, batch, desk.reader, say=say)
    begin_anew(f"Batch {batch} is taken back; the pages show the log without it.")
    st.rerun()
