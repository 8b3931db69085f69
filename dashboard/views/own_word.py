"""Beside the figures of a page: how many of the balls under them are a player's own word."""

from collections.abc import Sequence
from datetime import date

import streamlit as st

from dashboard import questions
from dashboard.questions import Desk
from dashboard.rows.coach import BoardRow
from dashboard.words.own_balls import own_in_week, own_share, own_shares
from dashboard.words.phrases import verbatim


def tell_own_share(desk: Desk, week: date, player: str, name: str | None) -> None:
    """Of one player; `name` is None where the player looks."""
    row = next((row for row in questions.own_balls(desk, week) if row.player_id == player), None)
    if share := own_share(row, name):
        st.caption(verbatim(share))
        _lead_to_them(desk)


def tell_own_shares(desk: Desk, week: date, players: Sequence[BoardRow]) -> None:
    """Of the players of a board."""
    names = {player.player_id: player.name for player in players}
    if shares := own_shares(questions.own_balls(desk, week), names):
        st.caption(verbatim(shares))
        _lead_to_them(desk)


def tell_own_in_week(desk: Desk, monday: date) -> None:
    """Of everybody, in one week."""
    if told := own_in_week(questions.waiting_blocks(desk), monday):
        st.caption(told)
        _lead_to_them(desk)


def _lead_to_them(desk: Desk) -> None:
    if desk.reader.makes_plans:
        st.page_link("views/own_logs.py", label="See and accept them")
