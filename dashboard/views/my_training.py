"""My training: for the player, in plain words, own data only."""

from datetime import date
from typing import Any

import streamlit as st

from dashboard import figures, questions, wording_mine
from dashboard.frame import cut_off_caption, page
from dashboard.questions import Desk
from dashboard.views.chosen import chosen_player, last_day, weeks_with_players, what_is_this

TOLD_BY = {"By spin": "spin_family", "By place of the feeder": "depth", "By tempo": "tempo_band"}
NEXT_TIME = 3


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
    me = next(row for row in questions.board(desk, week).iter_rows(named=True) if row["player_id"] == player)
    _met_and_lacking(desk, week, me)
    if me["standing"] in ("judged", "no_target"):
        _success(desk, week, player)
    cut_off_caption(desk)


def _met_and_lacking(desk: Desk, week: date, me: dict[str, Any]) -> None:
    settings, seen_from = questions.settings(desk), last_day(desk)
    values = questions.coverage_by_value(desk, week, me["player_id"]).to_dicts()
    st.subheader("What I met")
    _say(wording_mine.what_i_met(me, values, settings, seen_from))
    what_is_this(desk, figures.VARIETY)
    lacking = wording_mine.what_i_lack(me, values, seen_from)
    if lacking:
        st.subheader("What I lack")
        _say(lacking)
        what_is_this(desk, figures.COVERAGE_BY_VALUE)
    _next_time(desk, me["player_id"])


def _next_time(desk: Desk, player: str) -> None:
    """Something to do about it."""
    gaps = questions.feed_next(desk, player, NEXT_TIME).to_dicts()
    if not gaps:
        return
    needed = questions.settings(desk).covered_balls
    st.subheader("Ask for these next time")
    _say([wording_mine.ask_for(gap, last_day(desk)) for gap in gaps])
    st.markdown(f"With {needed} balls a kind counts as met. Every new kind is a step.")
    what_is_this(desk, figures.GAPS)


def _success(desk: Desk, week: date, player: str) -> None:
    settings = questions.settings(desk)
    st.subheader("How it goes")
    overall = questions.success(desk, week, player, "all").to_dicts()
    st.markdown(wording_mine.my_success(overall[0] if overall else None, settings))
    st.markdown(wording_mine.my_trend(questions.trend(desk, player), settings, last_day(desk)))
    for title, cut in TOLD_BY.items():
        st.markdown(f"**{title}**")
        _say(wording_mine.how_it_goes(cut, questions.success(desk, week, player, cut).iter_rows(named=True)))
    st.caption("Landing fed balls is not yet winning points, but it is where that begins.")
    what_is_this(desk, figures.SUCCESS, figures.TREND)


def _say(sentences: list[str]) -> None:
    st.markdown("\n".join(f"- {sentence}" for sentence in sentences))


page("My training", "What did I meet, what do I lack, and how does it go?", body)
