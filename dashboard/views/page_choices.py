"""What the coach's and the player's pages share: the week, the player, and what a figure is."""

from datetime import date

import streamlit as st

from dashboard import questions
from dashboard.questions import Desk
from dashboard.views.frame import nothing_yet
from dashboard.words.explaining import explained
from dashboard.words.figures import Figures
from dashboard.words.phrases import day, verbatim
from models.permits import Role

NO_PLAYERS = ("No players are loaded yet.", "Begin with the list of players; then the setups, a target, and the logs.")
NOBODY_OF_YOURS = (
    "There is nobody here whom you may see.",
    "Whoever is no longer on the list of active players is not shown.",
)
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
    if not questions.players(desk):
        nothing_yet(*(NO_PLAYERS if desk.reader.reads_everybody else NOBODY_OF_YOURS))
        return []
    weeks = questions.weeks(desk)
    if not weeks:
        nothing_yet(*NO_LOGS)
    return weeks


def players_and_setups(desk: Desk) -> tuple[dict[str, str], dict[str, str]]:
    """What a block names, by code; where either is lacking, a designed page that says so."""
    players = {player.player_id: player.name for player in questions.players(desk)}
    setups = questions.setup_names(desk)
    if not players or not setups:
        missing = "players" if not players else "setups"
        nothing_yet(f"No {missing} yet.", f"A block names a player and a setup. Bring in the {missing} first.")
    return players, setups


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


def last_day_caption(desk: Desk, about: str) -> None:
    """What a figure is about that is judged once, as of the last day in the log."""
    on = questions.last_day(desk)
    st.caption(f"{about} As of {day(on, on)}, the last day in the log, whatever week the page shows.")


def chosen_player(desk: Desk, ask: str) -> str | None:
    """The code of the player whom the address names or the reader picks; None until there is one.

    A player has nothing to pick. Raises NotPermitted where the address names somebody whom the reader may not read.
    """
    players = questions.players(desk)
    names = {row.player_id: f"{row.name} · {row.group_name or 'no group'}" for row in players}
    asked = st.query_params.get("player")
    if asked is not None and asked not in names:
        questions.require_open(desk, asked)
        told = f"No active player has the code '{verbatim(asked)}'. Pick one from the list."
        st.warning(told, icon=":material/person_off:")
    if desk.reader.role is Role.PLAYER:
        return next(iter(names), None)
    codes = list(names)
    index = codes.index(asked) if asked in names else None
    chosen = st.selectbox(ask, codes, index=index, format_func=lambda code: names[code], placeholder="Pick a player")
    if chosen and chosen != asked:
        st.query_params["player"] = chosen
    return chosen


def what_is_this(desk: Desk, *figures: Figures) -> None:
    """The definitions of figures, each one click away."""
    with st.container(horizontal=True):
        for shown in figures:
            with st.popover(shown.called, icon=":material/help:"):
                about, meanings = questions.about(desk, shown.table), questions.meaning(desk, shown.table)
                st.markdown(explained(about, meanings, shown, questions.settings(desk)))
