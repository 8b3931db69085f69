"""The head of every page: the name's mark, the club, the places that are open to whoever looks, and who that is.

On a phone the places stand in a bar below, at most four; what does not fit stands behind "More".
"""

from collections.abc import Mapping, Sequence

import streamlit as st

from dashboard import questions
from dashboard.drawings.icons import mark
from dashboard.drawings.markup import Markup, element
from dashboard.drawings.signs import shown
from dashboard.questions import Desk
from dashboard.words.club import INVENTED
from dashboard.words.people import person_in_words
from dashboard.words.phrases import verbatim
from models.permits import Reader, Role
from models.settings import Settings

Places = Sequence[tuple[str, str]]
"""Pages by their view, each with its short name."""

PLACES: Mapping[Role, Places] = {
    Role.COORDINATOR: (
        ("clubs", "Clubs"),
        ("club_week", "Week"),
        ("bring_in", "Bring in"),
        ("needs", "Needs"),
        ("one_player", "Players"),
        ("people", "People"),
    ),
    Role.COACH: (
        ("needs", "Needs"),
        ("one_player", "Players"),
        ("next_session", "Plan"),
        ("hall", "Hall"),
        ("setups", "Setups"),
        ("board", "Board"),
    ),
    Role.PLAYER: (("my_training", "My training"), ("privacy", "What is stored")),
    Role.GUARDIAN: (("my_training", "Training"), ("privacy", "What is stored")),
}
"""The first places of each role; the first three are those of the phone."""

ON_PHONE = 3


def show_head(desk: Desk, settings: Settings, pages: Mapping[str, st.Page], here: str | None) -> None:
    """Draw it. `pages`: those that are open to the reader, by their view; `here`: the one that is shown."""
    with st.container(key="hl-bar", horizontal=True, vertical_alignment="center"):
        st.markdown(_name(settings.club_name), unsafe_allow_html=True, width="content")
        with st.container(key="hl-nav", horizontal=True, vertical_alignment="center"):
            _places([place for place in PLACES[desk.reader.role] if place[0] in pages], pages, here)
        with st.container(key="hl-who", horizontal=True, vertical_alignment="center"):
            _who(desk.reader, questions.names_by_code(desk), settings)


def _name(club: str) -> str:
    picture = element("i", shown(mark(), 22))
    return element("span", picture, "Halflong", element("span", club, class_="hl-club"), class_="hl-name")


def _places(places: Places, pages: Mapping[str, st.Page], here: str | None) -> None:
    for i, (view, called) in enumerate(places):
        _link(view, called, pages[view], "-wide" if i >= ON_PHONE else "", here)
    shown_first = [view for view, _ in places]
    others = [view for view in pages if view not in shown_first]
    folded = shown_first[ON_PHONE:]
    if not others and not folded:
        return
    is_here = "-here" if here in others else ""
    # Named for the page, so that it is another one on the next, and shut: else it would stay open over that.
    with st.container(key=f"hl-i-more-on-{here}{is_here}", width="content"), st.popover("More"):
        for view in folded:
            _link(view, pages[view].title, pages[view], "-folded", None)
        for view in others:
            _link(view, pages[view].title, pages[view], "-more", here)


def _link(view: str, called: str, page: st.Page, where: str, here: str | None) -> None:
    with st.container(key=f"hl-i-{view}{where}{'-here' if view == here else ''}", width="content"):
        st.page_link(page, label=called, width="content")


def _who(reader: Reader, names: Mapping[str, str], settings: Settings) -> None:
    if settings.is_invented:
        st.markdown(
            element("span", "invented", class_="hl-invented", title=INVENTED), unsafe_allow_html=True, width="content"
        )
    with st.popover(_initials(reader.name)):
        st.caption(verbatim(person_in_words(reader, names)))
        st.html(_ways_out())


def _initials(name: str) -> str:
    words = name.split()
    return verbatim("".join(word[0] for word in (words[:1] + words[1:][-1:])).upper()) or "?"


def _ways_out() -> Markup:
    links = [_way("At the table", "/table"), _way("Your account", "/account")]
    leave = element("form", element("button", "Sign out", class_="hl-act"), method="post", action="/account/sign-out")
    return element("div", *links, leave, class_="hl-ways")


def _way(words: str, address: str) -> Markup:
    return element("a", words, href=address, target="_self")
