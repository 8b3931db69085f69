"""My training: for the player, in plain words, own data only."""

import streamlit as st

from dashboard import questions
from dashboard.paper.addresses import player_path
from dashboard.questions import Desk
from dashboard.views.frame import cut_off_caption, page
from dashboard.views.on_paper import offer_paper
from dashboard.views.page_choices import chosen_player, weeks_with_players, what_is_this
from dashboard.views.plan_kept import tell_kept
from dashboard.words.my_sections import Section, Told, my_sections
from ingest.club_day import today


def body(desk: Desk) -> None:
    """What I met, what I lack, how success goes."""
    weeks = weeks_with_players(desk)
    if not weeks:
        return
    week = weeks[0]
    player = chosen_player(desk, "Whose training?")
    if player is None:
        st.markdown("Pick the player whose training you want to see.")
        return
    me = next(row for row in questions.board(desk, week) if row.player_id == player)
    tell_kept(desk, player, "Planned for your next session")
    for section in my_sections(desk, week, me, today()):
        _show(desk, section)
    cut_off_caption(desk)
    offer_paper("This as a page to print (PDF)", player_path(player))


def _show(desk: Desk, section: Section) -> None:
    st.subheader(section.title)
    for told in section.told:
        _say(told)
    if section.caveat:
        st.caption(section.caveat)
    what_is_this(desk, *section.figures)


def _say(told: Told) -> None:
    if told.title:
        st.markdown(f"**{told.title}**")
    if told.are_points:
        st.markdown("\n".join(f"- {sentence}" for sentence in told.sentences))
        return
    for sentence in told.sentences:
        st.markdown(sentence)


page("My training", "What did I meet, what do I lack, and how does it go?", body)
