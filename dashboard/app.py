"""The screens: each page for whom it is open."""

from pathlib import Path

import streamlit as st

from dashboard import questions
from dashboard.door.screens import SCREENS, Screen
from dashboard.questions import Desk
from dashboard.views.account_news import show_account_news
from dashboard.views.frame import reader, refused, served_folder
from dashboard.views.head import show_head
from models.permits import Role
from models.refusal import Refused
from sql.club.audit_trail import Event, record_in
from sql.federation.served import served_federation

# A picture of our own, and pages without icons: for a named icon the browser would ask a font server outside.
TAB_PICTURE = Path(__file__).parent / "drawings" / "tab.svg"


def navigated(role: Role, *, of_a_body: bool) -> tuple[st.Page, Screen | None, dict[str, st.Page]]:
    """The page that the address names; which of SCREENS that is; the pages that are open to the role, by their view."""
    pages = {one: _page(one, is_open=one.is_open_to(role, of_a_body=of_a_body)) for one in SCREENS}
    mine = {one.view: page for one, page in pages.items() if one.is_open_to(role, of_a_body=of_a_body)}
    first = _begins_with(mine) or next(iter(pages.values()))  # To whom none is open, any says so.
    # Streamlit gives its default page no address but /: so that each page keeps its own, the default only leads on.
    lead_on = st.Page(
        lambda: st.switch_page(first), title="Halflong", url_path="home", default=True, visibility="hidden"
    )
    asked = st.navigation([lead_on, *pages.values()], position="hidden")
    which = next((one for one, page in pages.items() if page is asked), None)
    return asked, which, mine


def _begins_with(mine: dict[str, st.Page]) -> st.Page | None:
    """Where somebody begins: with the first page that is open to them, or in a club without a log with its set-up."""
    first, set_up = next(iter(mine.values()), None), mine.get("first_steps")
    return first if set_up is None or questions.has_logs(Desk(served_folder(), who)) else set_up


def _page(one: Screen, *, is_open: bool) -> st.Page:
    return st.Page(f"views/{one.view}.py", title=one.title, visibility="visible" if is_open else "hidden")


try:
    settings = served_folder().settings()
    of_a_body = served_federation(served_folder()) is not None
    who = reader()
except Refused as problem:
    st.error(str(problem))
    st.stop()

page, which, open_pages = navigated(who.role, of_a_body=of_a_body)
st.set_page_config(page_title=f"{page.title} · {settings.club_name}", page_icon=TAB_PICTURE, layout="wide")
show_head(Desk(served_folder(), who), settings, open_pages, which.view if which else None)
show_account_news(served_folder())
if which is None or which.view in open_pages:
    page.run()
else:
    record_in(served_folder(), Event.REFUSAL, f"the page {page.title}", reader=who)
    st.title(page.title)
    refused("This page is not open to you. If it should be, ask your coordinator.")
