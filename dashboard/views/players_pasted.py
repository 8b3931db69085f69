"""New players typed or pasted, a line for each; looked at in a grid before they are saved."""

from collections.abc import Mapping, Sequence
from hashlib import sha256

import streamlit as st

from dashboard.questions import Desk
from dashboard.rows.lists import ListedPlayer
from dashboard.views.frame import refusals_told
from dashboard.views.line_form import rounds, send, tell_what_became
from dashboard.views.players_grid import ask_grid, tell_faults_of_grid
from dashboard.views.refusals import counted
from dashboard.words.phrases import verbatim
from models.pasted_players import players_pasted

EXAMPLE = "Mara Brook\nIlya Stone, left, Juniors\nTove Marsh, right, Juniors, 2012"
FORM = "players-added"


def add_players(desk: Desk, players: Mapping[str, ListedPlayer], groups: Sequence[str]) -> None:
    """A line for each; then the same as a grid; then saving it."""
    tell_what_became(FORM)
    text, group = _typed(groups)
    lines = players_pasted(text, list(players), group)
    if not lines:
        st.caption("An example: Ilya Stone, left, Juniors, 2011. The name alone is enough.")
        return
    same = sorted({row.name for row in players.values()} & {line["name"] for line in lines})
    if same:
        st.warning(f"There already: {verbatim(', '.join(same))}. Take the line out if it is the same person.")
    mark = sha256(f"{text}|{group}".encode()).hexdigest()[:12]
    rows = ask_grid(lines, key=f"{FORM}-{mark}-{rounds()}", groups=groups)
    tell_faults_of_grid(FORM, [line["name"] for line in lines])
    if st.button(f"Save {counted(len(rows), 'player')}", icon=":material/save:", type="primary"):
        with refusals_told():
            send(desk, FORM, "players", rows, taken=players)


def _typed(groups: Sequence[str]) -> tuple[str, str | None]:
    text = st.text_area(
        "New players, a line for each",
        key=f"{FORM}-text-{rounds()}",
        placeholder=EXAMPLE,
        height=160,
        help="Type them, or paste a column or several from a spreadsheet: name, then hand, group and year of birth as "
        "far as they are known. Without a hand it is the right one.",
    )
    group = st.selectbox(
        "Group of those who name none",
        groups,
        index=None,
        accept_new_options=True,
        key=f"{FORM}-group-{rounds()}",
        placeholder="Pick one, or type a new one",
    )
    return text or "", group
