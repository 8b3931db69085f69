"""What the coach's and the player's pages share: the week, the player, and what a figure is."""

from datetime import date

import polars as pl
import streamlit as st

from dashboard import questions
from dashboard.explaining import explained
from dashboard.frame import nothing_yet
from dashboard.phrases import day
from dashboard.questions import Desk

NO_PLAYERS = ("No players are loaded yet.", "Begin with the list of players; then the setups, a target, and the logs.")
NO_LOGS = (
    "No logs are loaded yet.",
    "As soon as the first session log is in, this page shows who has met which balls.",
)
NO_TARGET = (
    "No target is loaded yet.",
    "A target says which balls the club wants trained, and how much of each. `halflong template targets` prints the "
    "form; without a target there is nothing to measure variety against.",
)


def weeks_with_players(desk: Desk) -> list[date]:
    """The club's weeks, the latest first; none, and a designed page, where there are no players or no logs."""
    if questions.players(desk).is_empty():
        nothing_yet(*NO_PLAYERS)
        return []
    weeks = questions.weeks(desk)
    if not weeks:
        nothing_yet(*NO_LOGS)
    return weeks


def chosen_week(desk: Desk) -> date | None:
    """The week up to which the page looks; None, and a designed page, where there is none to choose."""
    weeks = weeks_with_players(desk)
    if not weeks:
        return None
    days = questions.settings(desk).window_days
    return st.selectbox(
        "Up to the week of",
        weeks,
        format_func=lambda week: day(week, weeks[0]),
        help=f"Figures are of the {days} days that end with the Sunday of this week. The number of days is a setting.",
    )


def last_day(desk: Desk) -> date:
    """The last day in the log, from which days are told."""
    cut_off: date = questions.this_build(desk)["cut_off"]
    return cut_off


def chosen_player(players: pl.DataFrame, ask: str) -> str | None:
    """The code of the player whom the address names or the reader picks; None until there is one."""
    names = {row["player_id"]: f"{row['name']} · {row['group_name'] or 'no group'}" for row in players.to_dicts()}
    asked = st.query_params.get("player")
    if asked is not None and asked not in names:
        st.warning(f"No active player has the code {asked!r}. Pick one from the list.", icon=":material/person_off:")
    codes = list(names)
    index = codes.index(asked) if asked in names else None
    chosen = st.selectbox(ask, codes, index=index, format_func=lambda code: names[code], placeholder="Pick a player")
    if chosen and chosen != asked:
        st.query_params["player"] = chosen
    return chosen


def what_is_this(desk: Desk, table: str, *columns: str, uses: tuple[str, ...] = ()) -> None:
    """The definition of a figure, one click away."""
    with st.popover("What is this number?", icon=":material/help:"):
        meanings = questions.meaning(desk, table)
        st.markdown(explained(questions.about(desk, table), meanings, columns, questions.settings(desk), *uses))
