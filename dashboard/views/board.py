"""The coverage board: who is not training across enough positions, spins and tempos?"""

from datetime import date

import polars as pl
import streamlit as st

from dashboard import board_table, questions, wording
from dashboard.frame import cut_off_caption, nothing_yet, page
from dashboard.marks import board_legend, legend
from dashboard.phrases import verbatim
from dashboard.views.chosen import NO_TARGET, chosen_week, last_day, what_is_this
from sql.folder import DataFolder

EVERYONE = "Everyone"
BY_VALUE = "By depth, side, spin and tempo"
EVERY_COMBINATION = "Every combination"


def body(folder: DataFolder) -> None:
    """The board of a week, with its filters."""
    with st.container(horizontal=True, vertical_alignment="bottom"):
        week = chosen_week(folder)
        if week is None:
            return
        chosen = st.selectbox("Group", [EVERYONE, *questions.groups(folder)])
        order = st.selectbox("Order", list(questions.BOARD_ORDERS))
    group = None if chosen == EVERYONE else chosen
    players = questions.board(folder, week, order, group)
    if players["cells"].null_count() == players.height:
        nothing_yet(*NO_TARGET)
        return
    _say_who_lacks_most(folder, week, group)
    view = st.segmented_control("Columns", [BY_VALUE, EVERY_COMBINATION], default=BY_VALUE, required=True)
    if view == EVERY_COMBINATION:
        _every_combination(folder, week, group, players)
    else:
        values = questions.coverage_by_value(folder, week).to_dicts()
        table = board_table.by_value(players.to_dicts(), values, questions.settings(folder), last_day(folder))
        st.html(table + board_legend())
    _explain(folder)


def _say_who_lacks_most(folder: DataFolder, week: date, group: str | None) -> None:
    """The answer in words, before the table."""
    rows = questions.board(folder, week, group=group).to_dicts()
    if rows[0]["standing"] == "judged":
        first = rows[0]
        st.markdown(
            f"**{verbatim(first['name'])}** covers least: {first['cells_covered']} of {first['cells']} combinations."
        )
    others = wording.not_judged(rows, questions.settings(folder), last_day(folder))
    if others:
        st.markdown(f"Not judged: {'; '.join(others)}.")


def _every_combination(folder: DataFolder, week: date, group: str | None, players: pl.DataFrame) -> None:
    cells = questions.coverage(folder, week, group=group)
    grids = {frozenset(own["cell"]) for _, own in cells.group_by("player_id")}
    if len(grids) > 1:
        st.info("These players have different targets. Pick one group to see its grid.", icon=":material/filter_alt:")
        return
    table = board_table.by_combination(
        players.to_dicts(), cells.to_dicts(), questions.settings(folder), last_day(folder)
    )
    st.html(table + legend())


def _explain(folder: DataFolder) -> None:
    with st.container(horizontal=True):
        columns = ("balls", "cells", "cells_covered", "pairs", "pairs_covered")
        what_is_this(folder, "report.variety", *columns, uses=("window_days", "covered_balls", "rate_balls"))
        cut_off_caption(folder)


page(
    "Coverage board",
    "Who is not training across enough positions, spins and tempos? A name leads to the player.",
    body,
)
