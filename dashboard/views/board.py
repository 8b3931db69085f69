"""The coverage board: who is not training across enough positions, spins and tempos?"""

from collections.abc import Sequence
from datetime import date
from itertools import groupby

import streamlit as st

from dashboard import questions
from dashboard.questions import Desk
from dashboard.rows.coach import BoardRow
from dashboard.tables import board as board_table
from dashboard.tables.marks import board_legend, legend
from dashboard.views.frame import cut_off_caption, nothing_yet, page
from dashboard.views.own_word import tell_own_shares
from dashboard.views.page_choices import NO_TARGET, chosen_week, what_is_this
from dashboard.words import figures
from dashboard.words import sentences as wording
from dashboard.words.phrases import verbatim

EVERYONE = "Everyone"
BY_VALUE = "By depth, side, spin and tempo"
EVERY_COMBINATION = "Every combination"
ON_WANTED_MIX = "Success on the wanted mix"
EXPLAINED = {
    BY_VALUE: figures.COVERAGE_BY_VALUE,
    EVERY_COMBINATION: figures.COVERAGE,
    ON_WANTED_MIX: figures.WANTED_MIX,
}
"""What the columns may show, and the figures that are in them."""


def body(desk: Desk) -> None:
    """The board of a week, with its filters."""
    with st.container(horizontal=True, vertical_alignment="bottom"):
        week = chosen_week(desk)
        if week is None:
            return
        chosen = st.selectbox("Group", [EVERYONE, *questions.groups(desk)])
        order = st.selectbox("Order", list(questions.BOARD_ORDERS))
    group = None if chosen == EVERYONE else chosen
    players = questions.board(desk, week, order, group)
    if all(player.cells is None for player in players):
        nothing_yet(*NO_TARGET)
        return
    _say_who_lacks_most(desk, week, group)
    view = st.segmented_control("Columns", list(EXPLAINED), default=BY_VALUE, required=True)
    if view == EVERY_COMBINATION:
        _every_combination(desk, week, group, players)
    elif view == ON_WANTED_MIX:
        _on_wanted_mix(desk, week, players)
    else:
        _by_value(desk, week, players)
    tell_own_shares(desk, week, players)
    what_is_this(desk, figures.VARIETY, EXPLAINED[view])
    cut_off_caption(desk)


def _say_who_lacks_most(desk: Desk, week: date, group: str | None) -> None:
    """The answer in words, before the table."""
    rows = questions.board(desk, week, group=group)
    if rows[0].standing == "judged":
        first = rows[0]
        st.markdown(f"**{verbatim(first.name)}** covers least: {first.cells_covered} of {first.cells} combinations.")
    others = wording.not_judged(rows, questions.settings(desk), questions.last_day(desk))
    if others:
        st.markdown(f"Not judged: {'; '.join(others)}.")


def _by_value(desk: Desk, week: date, players: Sequence[BoardRow]) -> None:
    values = questions.coverage_by_value(desk, week)
    table = board_table.by_value(players, values, questions.settings(desk), questions.last_day(desk))
    st.html(table + board_legend())


def _every_combination(desk: Desk, week: date, group: str | None, players: Sequence[BoardRow]) -> None:
    cells = questions.coverage(desk, week, group=group)
    grids = {frozenset(cell.cell for cell in own) for _, own in groupby(cells, key=lambda cell: cell.player_id)}
    if len(grids) > 1:
        st.info("These players have different targets. Pick one group to see its grid.", icon=":material/filter_alt:")
        return
    table = board_table.by_combination(players, cells, questions.settings(desk), questions.last_day(desk))
    st.html(table + legend())


def _on_wanted_mix(desk: Desk, week: date, players: Sequence[BoardRow]) -> None:
    mixes = questions.standard_success(desk, week)
    st.html(board_table.by_success(players, mixes, questions.settings(desk), questions.last_day(desk)))
    st.caption(
        "So many of 100 balls would land if they came in the shares of the target, and the range. Where two ranges "
        "overlap, the players may be alike. Compare only who speaks for much of the same mix."
    )


page(
    "Coverage board",
    "Who is not training across enough positions, spins and tempos? A name leads to the player.",
    body,
)
