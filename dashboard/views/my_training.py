"""My training: for the player, in plain words, own data only."""

from datetime import date
from typing import Any

import streamlit as st

from dashboard import questions, wording
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
    st.info(
        "There is no sign-in yet: whoever sits at this machine can pick any name. Once there is one, you see your own "
        "training only, and nobody picks.",
        icon=":material/lock_open:",
    )
    player = chosen_player(questions.players(desk), "I am")
    if player is None:
        st.markdown("Pick your name to see what you trained.")
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
    _say(wording.what_i_met(me, values, settings, seen_from))
    what_is_this(desk, "report.variety", "balls", "cells", "cells_covered", uses=("window_days", "covered_balls"))
    lacking = wording.what_i_lack(me, values, seen_from)
    if lacking:
        st.subheader("What I lack")
        _say(lacking)
    _next_time(desk, week, me["player_id"])


def _next_time(desk: Desk, week: date, player: str) -> None:
    """Something to do about it."""
    cells = questions.feed_next(desk, week, player, NEXT_TIME).to_dicts()
    if not cells:
        return
    needed = questions.settings(desk).covered_balls
    st.subheader("Ask for these next time")
    st.markdown("\n".join(f"- {wording.feed_next(cell, last_day(desk))}" for cell in cells))
    st.markdown(f"With {needed} balls a kind counts as met. Every new kind is a step.")


def _success(desk: Desk, week: date, player: str) -> None:
    settings = questions.settings(desk)
    st.subheader("How it goes")
    overall = questions.success(desk, week, player, "all").to_dicts()
    st.markdown(wording.my_success(overall[0] if overall else None, settings))
    change = wording.my_change(questions.then_and_now(desk, week, player), settings.window_days, last_day(desk))
    if change:
        st.markdown(change)
    for title, cut in TOLD_BY.items():
        st.markdown(f"**{title}**")
        _say(wording.how_it_goes(cut, questions.success(desk, week, player, cut).iter_rows(named=True)))
    st.caption("Landing fed balls is not yet winning points, but it is where that begins.")
    what_is_this(desk, "report.success", "balls", "good", "rate", "low", "high", uses=("window_days", "rate_balls"))


def _say(sentences: list[str]) -> None:
    st.markdown("\n".join(f"- {sentence}" for sentence in sentences))


page("My training", "What did I meet, what do I lack, and how does it go?", body)
