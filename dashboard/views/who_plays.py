"""Who plays: add players, change one, move several to another group, or change the whole list in a grid."""

from collections.abc import Callable, Mapping
from typing import Any

import streamlit as st

from dashboard import questions
from dashboard.questions import Desk
from dashboard.rows.lists import ListedPlayer
from dashboard.views.frame import page, refusals_told
from dashboard.views.line_form import rounds, send, tell_what_became
from dashboard.views.list_form import ListForm, show_list_form
from dashboard.views.players_grid import ask_grid, tell_faults_of_grid
from dashboard.views.players_pasted import add_players
from dashboard.views.saved_lately import show_saved_lately
from dashboard.words.lists import code_and_name
from models.edited_lines import changed_lines

Players = Mapping[str, ListedPlayer]


def body(desk: Desk) -> None:
    """What is to be done, then doing it; and what was done lately."""
    players = {row.player_id: row for row in questions.listed_players(desk)}
    sections = list(SECTIONS) if players else [ADD]
    section = st.segmented_control("What do you want to do?", sections, default=ADD, required=True)
    SECTIONS[section](desk, players)
    show_saved_lately(desk, "players")


def add(desk: Desk, players: Players) -> None:
    """New players, typed or pasted."""
    add_players(desk, players, groups_of(players))


def change_one(desk: Desk, players: Players) -> None:
    """One player: group, hand, whether they still train."""
    st.caption(
        "Who moves up gets another group; who leaves is no longer active, and their log stays. Who changed the hand "
        "gets the new one with its first day: balls before that day were met with the other."
    )
    form = ListForm(
        kind="players",
        which="Who?",
        new="A new player",
        button="Save this player",
        lines={code: line_of(row) for code, row in players.items()},
        called=lambda code: code_and_name(code, players[code].name),
        choices={"group": {group: group for group in groups_of(players)}},
        first={"active": True},
    )
    show_list_form(desk, form)


def move_up(desk: Desk, players: Players) -> None:
    """Several players into one group."""
    form = "players-moved"
    tell_what_became(form)
    active = [code for code, row in players.items() if row.is_active]
    chosen = st.multiselect(
        "Who moves?",
        active,
        format_func=lambda code: f"{players[code].name} · {players[code].group_name or 'no group'}",
        key=f"moved-{rounds()}",
    )
    group = st.selectbox(
        "Into which group?",
        groups_of(players),
        index=None,
        accept_new_options=True,
        key=f"moved-to-{rounds()}",
        placeholder="Pick one, or type a new one",
    )
    if st.button("Move them", icon=":material/save:", disabled=not chosen or not group):
        with refusals_told():
            send(desk, form, "players", [line_of(players[code]) | {"group": group} for code in chosen])


def whole_list(desk: Desk, players: Players) -> None:
    """Every player in a grid."""
    form = "players-grid"
    tell_what_became(form)
    st.caption("Change cells as in a spreadsheet. Nothing counts before it is saved; only rows that changed are.")
    before = [line_of(row) for row in players.values()]
    after = ask_grid(before, key=f"{form}-{rounds()}", groups=groups_of(players))
    changed = changed_lines(before, after)
    st.caption(f"Rows changed: {len(changed)}.")
    tell_faults_of_grid(form)
    if st.button("Save the list", icon=":material/save:", type="primary", disabled=not changed):
        with refusals_told():
            send(desk, form, "players", changed)


def line_of(row: ListedPlayer) -> dict[str, Any]:
    """The columns of the players log; a name that is only the code is an empty one."""
    line = row.line
    return line | {"name": None if line["name"] == line["player"] else line["name"]}


def groups_of(players: Players) -> list[str]:
    """The groups that there are."""
    return sorted({row.group_name for row in players.values() if row.group_name})


ADD = "Add players"
SECTIONS: dict[str, Callable[[Desk, Players], None]] = {
    ADD: add,
    "Change one": change_one,
    "Move to a group": move_up,
    "Whole list": whole_list,
}

page("Who plays", "Who trains here, with which hand, and in which group?", body)
