"""The screens: which pages there are, for whom."""

from dataclasses import dataclass
from pathlib import Path

import streamlit as st

from dashboard.views.frame import reader, refused, served_folder, tell_who
from models.permits import Role
from models.refusal import Refused
from sql.club.audit_trail import Event, record_in

# A picture of our own, and pages without icons: for a named icon the browser would ask a font server outside.
TAB_PICTURE = Path(__file__).parent / "drawings" / "tab.svg"

COORDINATOR, COACH, PLAYER, GUARDIAN = Role.COORDINATOR, Role.COACH, Role.PLAYER, Role.GUARDIAN


@dataclass(frozen=True)
class Open:
    """A page, and to whom it is open. The first that is open to somebody is where they begin."""

    view: str
    title: str
    section: str
    roles: tuple[Role, ...]


PAGES = (
    Open("club_week", "The club's week", "Logs", (COORDINATOR,)),
    Open("bring_in", "Bring in logs", "Logs", (COORDINATOR,)),
    Open("came_in", "What came in", "Logs", (COORDINATOR,)),
    Open("board", "Coverage board", "Training", (COORDINATOR, COACH)),
    Open("one_player", "One player", "Training", (COORDINATOR, COACH)),
    Open("next_session", "Next session", "Training", (COORDINATOR, COACH)),
    Open("setups", "Setups", "Training", (COORDINATOR, COACH)),
    Open("write_block", "Write a block", "Training", (COORDINATOR, COACH)),
    Open("my_training", "My training", "Training", (PLAYER, GUARDIAN)),
    Open("people", "People", "Club", (COORDINATOR,)),
    Open("trail", "Audit trail", "Club", (COORDINATOR,)),
    Open("privacy", "What is stored", "Club", (COORDINATOR, COACH, PLAYER, GUARDIAN)),
)


def navigated(role: Role) -> tuple[st.Page, bool]:
    """The page that the address names, and whether it is open to the role."""
    pages = {one: _page(one, is_open=role in one.roles) for one in PAGES}
    first = next(pages[one] for one in PAGES if role in one.roles)
    # Streamlit gives its default page no address but /: so that each page keeps its own, the default only leads on.
    lead_on = st.Page(
        lambda: st.switch_page(first), title="Halflong", url_path="home", default=True, visibility="hidden"
    )
    sections: dict[str, list[st.Page]] = {"": [lead_on]}
    for one, page in pages.items():
        sections.setdefault(one.section, []).append(page)
    asked = st.navigation(sections)
    is_open = any(role in one.roles for one, page in pages.items() if page is asked)
    return asked, is_open or asked is lead_on


def _page(one: Open, *, is_open: bool) -> st.Page:
    return st.Page(f"views/{one.view}.py", title=one.title, visibility="visible" if is_open else "hidden")


try:
    club_name = served_folder().settings().club_name
    who = reader()
except Refused as problem:
    st.error(str(problem))
    st.stop()

page, is_open = navigated(who.role)
st.set_page_config(page_title=f"{page.title} · {club_name}", page_icon=TAB_PICTURE, layout="wide")
tell_who(who)
if is_open:
    page.run()
else:
    record_in(served_folder(), Event.REFUSAL, f"the page {page.title}", reader=who)
    st.title(page.title)
    refused("This page is not open to you. If it should be, ask your coordinator.")
