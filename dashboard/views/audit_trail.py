"""The audit trail: who did what, and when."""

import polars as pl
import streamlit as st

from dashboard.questions import Desk
from dashboard.views.frame import page
from sql.club.audit_trail import Event, entries
from sql.club.file import club_file

SHOWN = 500
EVERYTHING = "Everything"


def body(desk: Desk) -> None:
    """The latest entries, of one kind or all."""
    local = desk.folder.settings().local
    wanted = st.selectbox("What", [EVERYTHING, *Event], format_func=lambda one: str(one).capitalize(), width=320)
    with club_file(desk.folder) as connection:
        found = entries(connection, desk.reader, SHOWN, None if wanted == EVERYTHING else Event(wanted))
    if not found:
        st.info("Nothing of this kind was done yet.", icon=":material/info:")
        return
    st.dataframe(
        pl.DataFrame([entry.on_the_wall(local) for entry in found], infer_schema_length=None),
        column_config={
            "happened_at": st.column_config.DatetimeColumn("When", format="D MMM YYYY, HH:mm:ss"),
            "name": "Who",
            "event": "What",
            "player": "Player",
            "about": "About",
            "address": "From",
            "times": "Times",
            "last_at": st.column_config.DatetimeColumn("Last", format="D MMM YYYY, HH:mm:ss"),
        },
        placeholder="",
        hide_index=True,
        alt="The latest entries of the audit trail: when, who, what, about which player, from which address",
    )
    st.caption(f"The latest {SHOWN} entries at most; `halflong account trail` lists more. Nothing here can be changed.")


page("Audit trail", "Who signed in, was refused, loaded, withdrew, exported or erased, and when?", body)
