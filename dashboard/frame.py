"""What every page has in common: whose data it shows, its head, and what it says when there is nothing yet."""

import os
from collections.abc import Callable
from pathlib import Path

import streamlit as st

from dashboard import questions
from dashboard.questions import Desk
from dashboard.serving import FOLDER_VARIABLE
from sql.folder import DataFolder
from sql.warehouse import NothingPublished


def served_folder() -> DataFolder:
    """The data folder that this process serves."""
    return DataFolder(Path(os.environ[FOLDER_VARIABLE]))


def page(title: str, question: str, body: Callable[[Desk], None]) -> None:
    """Draw a page: its title, the one question it answers, then its body; a designed page where there is no data."""
    folder = served_folder()
    settings = folder.settings()
    st.title(title)
    st.caption(question)
    if settings.is_invented:
        st.info("Invented demo club: the people, the places and the numbers are made up.", icon=":material/info:")
    try:
        body(Desk(folder))
    except NothingPublished:
        nothing_yet("Nothing is loaded yet.", "Begin with the players, then the setups and a target, then the logs.")


def nothing_yet(what: str, next_step: str) -> None:
    """An empty state: what is missing, and the next step."""
    with st.container(border=True):
        st.subheader(what)
        st.write(next_step)
        st.page_link("views/bring_in.py", label="Bring in logs", icon=":material/upload_file:")


def cut_off_caption(desk: Desk) -> None:
    """Up to which day the figures go."""
    build = questions.this_build(desk)
    if build["cut_off"]:
        st.caption(f"Figures up to {build['cut_off']:%d %B %Y}, the last day in the log.")
