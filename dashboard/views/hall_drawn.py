"""A plan of the hall on its page: the time axis with one child followed, and every turn in words."""

import streamlit as st

from dashboard.drawings.hall_axis import hall_axis, hall_list
from dashboard.drawings.markup import element
from dashboard.rows.halls import HallSession
from dashboard.tables.hall import axis_of
from dashboard.words import hall as words
from dashboard.words.cautions import IN_SHORT
from dashboard.words.phrases import verbatim
from dashboard.words.plan import setup_called

WIDTH = 1180.0


def draw_axis(session: HallSession) -> None:
    """The whole session; who is followed is chosen in the address of nothing but this page."""
    followed = st.session_state.get("hall-follow")
    tables, slots, boxes = axis_of(session, followed if followed in session.plan.children else None)
    wide = element("div", hall_axis(tables, slots, boxes, WIDTH), class_="hl-wide")
    narrow = element("div", hall_list(tables, slots, boxes), class_="hl-narrow")
    st.markdown(element("div", wide, narrow), unsafe_allow_html=True)
    if session.plan.moves:
        st.caption(f"A dot on a box: the feeder is moved there first. {IN_SHORT}")


def draw_turns(session: HallSession) -> None:
    """What each does, slot by slot, behind one touch."""
    with st.expander("Every turn"):
        for slot in session.plan.slots:
            st.markdown(f"**{session.at(slot.begin):%H:%M} to {session.at(slot.begin + slot.minutes):%H:%M}**")
            for table in slot.tables:
                where = setup_called(table.setup, session.setups)
                st.markdown(f"{verbatim(table.station.name)}: {verbatim(where)}")
                st.markdown("\n".join(f"- {verbatim(words.turn_line(session, turn))}" for turn in table.turns))
            if slot.resting:
                st.caption(f"Rest: {verbatim(', '.join(session.names[player] for player in slot.resting))}")
