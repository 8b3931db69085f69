"""One player on one screen: what was met, what to feed next, one line for each question, and what stands behind it."""

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

import streamlit as st

from dashboard import questions
from dashboard.paper.addresses import player_path
from dashboard.questions import Desk
from dashboard.rows.coach import BoardRow
from dashboard.views.frame import cut_off_caption, page
from dashboard.views.note_to_player import write_note
from dashboard.views.on_paper import offer_paper
from dashboard.views.own_word import tell_own_share
from dashboard.views.page_choices import chosen_player, chosen_week
from dashboard.views.player_sections.at_a_glance import FED_NEXT, ball_map_card, feed_next_card, lines_card
from dashboard.views.player_sections.changes import holding_up, order, test_sets
from dashboard.views.player_sections.load import load
from dashboard.views.player_sections.success import mistakes, over_the_weeks, success
from dashboard.views.player_sections.variety import by_physics, coverage, head, key_figures
from dashboard.words.my_balls import first_name
from ingest.club_day import today

Section = Callable[[Desk, date, BoardRow], None]

EVERYTHING = "all"
OPENED = "open"
"""What of the page is open, as the address names it: a link can lead to it."""


def _variety(desk: Desk, week: date, me: BoardRow) -> None:
    if me.cells is not None:
        key_figures(desk, week, me)
        coverage(desk, week, me)
    by_physics(desk, week, me.player_id)


def _change(desk: Desk, week: date, me: BoardRow) -> None:
    holding_up(desk, me.player_id)
    test_sets(desk, week, me.player_id)
    order(desk, week, me.player_id)


SECTIONS: Mapping[str, Section] = {
    "variety": _variety,
    "success": lambda desk, week, me: success(desk, week, me.player_id),
    "trend": lambda desk, week, me: over_the_weeks(desk, week, me.player_id),
    "mistakes": lambda desk, week, me: mistakes(desk, week, me.player_id),
    "change": _change,
    "load": lambda desk, week, me: load(desk, week, me.player_id),
}
"""What the page can open, in the order in which everything stands below each other."""


def body(desk: Desk) -> None:
    """The player's page: one screen, and below it what was opened."""
    with st.container(key="hl-choices", horizontal=True, vertical_alignment="bottom"):
        week = chosen_week(desk)
        if week is None:
            return
        player = chosen_player(desk, "Player")
        if player:
            beside: Any = {"player": player}
            icon = ":material/compare_arrows:"
            st.page_link("views/compare.py", label="Compare", icon=icon, query_params=beside, width="content")
    if player is None:
        st.info("Pick a player, or come from a name on the coverage board.", icon=":material/person_search:")
        return
    me = next(row for row in questions.board(desk, week) if row.player_id == player)
    head(desk, me)
    if me.standing == "no_log":
        st.info("Nothing was logged for this player up to this week.", icon=":material/event_busy:")
        return
    tell_own_share(desk, week, player, first_name(me.name))
    _glance(desk, week, me)
    _opened(desk, week, me)
    cut_off_caption(desk)
    with st.container(horizontal=True):
        write_note(desk, player, first_name(me.name))
        offer_paper("The player's own page to print (PDF)", player_path(player))


def _glance(desk: Desk, week: date, me: BoardRow) -> None:
    gaps = questions.feed_next(desk, me.player_id, today(), FED_NEXT)
    left, right = st.columns(2, gap="small")
    with left:
        if me.cells is None:
            st.info("No target applies to this player, so there is no grid to cover.", icon=":material/target:")
        else:
            ball_map_card(desk, week, me, gaps)
    with right:
        if me.cells is not None:
            feed_next_card(desk, me, gaps)
        lines_card(desk, week, me, _open)


def _open(section: str) -> None:
    st.query_params[OPENED] = section


def _opened(desk: Desk, week: date, me: BoardRow) -> None:
    """What was opened; everything, for whoever likes to read from top to bottom or to print it."""
    asked = st.query_params.get(OPENED)
    for name, section in SECTIONS.items():
        if asked in (name, EVERYTHING):
            section(desk, week, me)
    if asked != EVERYTHING and st.button("Everything below each other", type="tertiary"):
        _open(EVERYTHING)
        st.rerun()


page(
    "One player",
    "How varied is this player's training, how does success go, and what do I feed next?",
    body,
)
