"""The screens: which pages there are, for whom."""

from pathlib import Path

import streamlit as st

from dashboard.frame import served_folder
from sql.folder import FolderProblem

# A picture of our own, and pages without icons: for a named icon the browser would ask a font server outside.
TAB_PICTURE = Path(__file__).parent / "pictures" / "tab.svg"

COORDINATOR = [
    st.Page("views/club_week.py", title="The club's week", default=True),
    st.Page("views/bring_in.py", title="Bring in logs"),
    st.Page("views/write_block.py", title="Write a block"),
    st.Page("views/came_in.py", title="What came in"),
]
COACH = [
    st.Page("views/board.py", title="Coverage board"),
    st.Page("views/one_player.py", title="One player"),
]
PLAYER = [
    st.Page("views/my_training.py", title="My training"),
]

try:
    club_name = served_folder().settings().club_name
except FolderProblem as problem:
    st.error(str(problem))
    st.stop()

page = st.navigation({"Coordinator": COORDINATOR, "Coach": COACH, "Player": PLAYER})
st.set_page_config(page_title=f"{page.title} · {club_name}", page_icon=TAB_PICTURE, layout="wide")
page.run()
