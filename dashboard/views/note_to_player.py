"""A sentence from the coach to a player: written on the coach's page, read on the player's."""

import streamlit as st

from dashboard.questions import Desk
from dashboard.services import notes
from dashboard.services.notes import LONGEST_NOTE, NoNote
from dashboard.words.phrases import verbatim


def write_note(desk: Desk, player: str, name: str) -> None:
    """A field for it behind a button; what stands there now can be changed or taken back."""
    note = notes.note_to(desk, player)
    with st.popover(f"A sentence to {name}", icon=":material/chat_bubble:"):
        if note:
            st.caption(f"On the player's page now, by {verbatim(note.writer or 'a coach who has left')}.")
        with st.form("note-to-player", border=False):
            text = st.text_area(
                "What the player reads on the own page", value=note.note if note else "", max_chars=LONGEST_NOTE
            )
            is_sent = st.form_submit_button("Show it to the player")
            taken = st.form_submit_button("Take it back", disabled=note is None)
    try:
        if taken:
            notes.take_back(desk, player)
        elif is_sent:
            notes.write(desk, player, text)
    except NoNote as problem:
        st.error(f"A sentence to {verbatim(name)}: {problem}")
        return
    if is_sent or taken:
        st.rerun()
