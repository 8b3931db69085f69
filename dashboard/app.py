"""The screens: which pages there are, for whom."""

import streamlit as st

from dashboard.frame import served_folder

st.set_page_config(page_title=f"Halflong · {served_folder().settings().club_name}", layout="wide")

COORDINATOR = [
    st.Page("views/club_week.py", title="The club's week", icon=":material/calendar_view_week:", default=True),
    st.Page("views/bring_in.py", title="Bring in logs", icon=":material/upload_file:"),
    st.Page("views/write_block.py", title="Write a block", icon=":material/edit_note:"),
    st.Page("views/came_in.py", title="What came in", icon=":material/inventory_2:"),
]
COACH = [
    st.Page("views/board.py", title="Coverage board", icon=":material/grid_on:"),
    st.Page("views/one_player.py", title="One player", icon=":material/person_search:"),
]
PLAYER = [
    st.Page("views/my_training.py", title="My training", icon=":material/sports_tennis:"),
]

st.navigation({"Coordinator": COORDINATOR, "Coach": COACH, "Player": PLAYER}).run()
