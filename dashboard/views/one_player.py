"""One player in depth: what was met and what not, how success goes, and what to feed next."""

import streamlit as st

from dashboard import questions
from dashboard.paper.addresses import player_path
from dashboard.questions import Desk
from dashboard.views.frame import cut_off_caption, page
from dashboard.views.note_to_player import write_note
from dashboard.views.on_paper import offer_paper
from dashboard.views.page_choices import chosen_player, chosen_week
from dashboard.views.player_sections.changes import holding_up, order, test_sets
from dashboard.views.player_sections.load import load
from dashboard.views.player_sections.success import mistakes, over_the_weeks, success
from dashboard.views.player_sections.variety import by_physics, coverage, head
from dashboard.words.my_balls import first_name


def body(desk: Desk) -> None:
    """The player's page, from what decides first to the details."""
    with st.container(horizontal=True, vertical_alignment="bottom"):
        week = chosen_week(desk)
        if week is None:
            return
        player = chosen_player(desk, "Player")
    if player is None:
        st.info("Pick a player, or come from a name on the coverage board.", icon=":material/person_search:")
        return
    me = next(row for row in questions.board(desk, week) if row.player_id == player)
    head(desk, week, me)
    write_note(desk, player, first_name(me.name))
    if me.standing == "no_log":
        st.info("Nothing was logged for this player up to this week.", icon=":material/event_busy:")
        return
    if me.cells is None:
        st.info("No target applies to this player, so there is no grid to cover.", icon=":material/target:")
    else:
        coverage(desk, week, me)
    by_physics(desk, week, player)
    success(desk, week, player)
    over_the_weeks(desk, week, player)
    mistakes(desk, week, player)
    holding_up(desk, player)
    test_sets(desk, week, player)
    order(desk, week, player)
    load(desk, week, player)
    cut_off_caption(desk)
    offer_paper("The player's own page to print (PDF)", player_path(player))


page(
    "One player",
    "How varied is this player's training, how does success go, and what do I feed next?",
    body,
)
