"""Does it hold up: when the ball changes, on rarely met balls, some days later; and in what order the balls came."""

from datetime import date
from itertools import groupby

import streamlit as st

from dashboard import questions
from dashboard.questions import Desk
from dashboard.tables import player as tables_player
from dashboard.views.page_choices import last_day_caption, what_is_this
from dashboard.words import figures
from dashboard.words import judged as wording_judged
from dashboard.words import sentences as wording
from dashboard.words.phrases import verbatim

ORDERS_SHOWN = 8


def holding_up(desk: Desk, player: str) -> None:
    """Success on the first ball after a change, and on balls that the player rarely meets."""
    settings = questions.settings(desk)
    st.subheader("Does it hold up when the ball changes?")
    st.markdown(wording_judged.cost_of_a_change(questions.variety_cost(desk, player), settings))
    st.markdown(wording_judged.rarely_met(questions.rarely_met(desk, player), settings))
    last_day_caption(desk, f"Over {settings.judged_weeks} weeks, a setting.")
    what_is_this(desk, figures.COST_OF_A_CHANGE, figures.RARELY_MET)


def test_sets(desk: Desk, week: date, player: str) -> None:
    """Fixed test sets, fed again some days later."""
    st.subheader("Test sets")
    sittings = questions.probes(desk, week, player)
    if not sittings:
        st.markdown(wording_judged.NO_PROBE)
    settings, seen_from = questions.settings(desk), questions.last_day(desk)
    for name, rows in groupby(sittings, key=lambda sitting: sitting.probe):
        own = list(rows)
        st.markdown(f"**{verbatim(name)}** — {wording_judged.probe(own[-1], settings, seen_from)}")
        with st.expander(f"Sittings of {verbatim(name)} ({len(own)})"):
            st.html(tables_player.sittings(own, seen_from))
    what_is_this(desk, figures.TEST_SETS)


def order(desk: Desk, week: date, player: str) -> None:
    """In what order the balls came: reported, never scored."""
    st.subheader("In what order the balls came")
    orders = questions.orders_seen(desk, week, player, ORDERS_SHOWN)
    if not orders:
        st.markdown("No ball of this player was logged one by one, so the order is not known.")
        return
    st.markdown(wording.orders_in_short(orders))
    st.caption(wording.ORDER_EVIDENCE)
    with st.expander("Session by session"):
        st.html(tables_player.orders(orders, questions.last_day(desk)))
    what_is_this(desk, figures.ORDER)
