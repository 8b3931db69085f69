"""Clubs, for the body that they belong to: who sends logs, and how varied is training?"""

import streamlit as st

from dashboard.questions import Desk
from dashboard.questions import clubs as questions
from dashboard.tables.clubs import clubs_table, values_table, weeks_table
from dashboard.views.frame import page
from dashboard.words import clubs as wording
from dashboard.words.phrases import verbatim
from ingest.club_day import today

WEEKS_SHOWN = 12


def body(desk: Desk) -> None:
    """Every club by age group, then one of them closely."""
    served, rows = questions.federation(desk), questions.clubs(desk)
    st.markdown(wording.built(questions.federations_build(desk)))
    if late := wording.quiet(rows, served, today()):
        st.markdown(late)
    st.html(clubs_table(rows, today()))
    for note in (wording.COVERAGE, wording.ORDER, wording.figures_hidden(served)):
        st.caption(note)
    names = wording.names(rows)
    st.header("One club")
    club = st.selectbox("Club", list(names), index=None, format_func=names.__getitem__, placeholder="Pick a club")
    if club is not None:
        show_club(desk, club, names[club])


def show_club(desk: Desk, club: str, name: str) -> None:
    """Its weeks, and which balls it meets."""
    weeks, values = questions.weeks_of_club(desk, club)[:WEEKS_SHOWN], questions.values_of_club(desk, club)
    if not weeks and not values:
        least = questions.federation(desk).least_players
        st.markdown(f"{verbatim(name)}: never {least} players with a log at once, so that nothing is told of it.")
    if weeks:
        st.subheader("Week by week")
        st.html(weeks_table(weeks, today()))
        st.caption(
            "Of the recent days of the club up to the Sunday of each week; weeks of too few players are left out."
        )
    if values:
        st.subheader("Which balls it meets")
        st.html(values_table(values))
        st.caption(
            "In the club's recent days: how many players met such balls, and their share of the balls told. Balls that "
            "too few players met are left out, also of the shares."
        )


page("Clubs", "Who sends logs, and how varied is training, by club and age group?", body)
