"""What is done with the open block of the workbench: moved, swapped, dropped; and what is decided of its ball."""

import streamlit as st

from dashboard.views.plan_work import Work, change, decide
from dashboard.words import plan as plan_words
from models import plan_edits
from models.planned import Gap
from models.worth import Cell


def show_acts(work: Work) -> None:
    """Up, down, swap, drop; and what is decided about the ball."""
    at, last, block = work.at, len(work.plan.blocks) - 1, work.block
    cell = block.drills[work.kind].gap.cell
    with st.container(horizontal=True, key="hl-acts", vertical_alignment="center"):
        is_fixed = block.closes
        st.button("Up", disabled=at == 0 or is_fixed, on_click=_move, args=(-1,))
        st.button("Down", disabled=is_fixed or at == last or work.plan.blocks[at + 1].closes, on_click=_move, args=(1,))
        if not is_fixed:
            _swap(work)
        st.button("Drop", on_click=_drop, disabled=cell in work.locks.must, help="It comes back under Still lacking.")
        if not is_fixed:
            st.toggle("Must be in", cell in work.locks.must, key=f"plan-must-{cell}", on_change=_must, args=(cell,))
            st.button("Not today", on_click=not_today, args=(cell, at))


def _move(steps: int) -> None:
    work: Work = st.session_state["plan-work"]
    change(lambda w: plan_edits.moved(w.plan, w.at, steps, w.settings), at=work.at + steps)


def _drop() -> None:
    change(lambda w: plan_edits.dropped(w.plan, w.at, w.settings))


def _must(cell: Cell) -> None:
    decide(cell, "must" if st.session_state[f"plan-must-{cell}"] else None)


def not_today(cell: Cell, at: int | None = None) -> None:
    """Take a ball out for today; `at`: the block that feeds it."""
    decide(cell, "not_today")
    if at is not None:
        change(lambda w: plan_edits.dropped(w.plan, at, w.settings))
    change(lambda w: plan_edits.not_today(w.plan, cell, w.settings))


def _swap(work: Work) -> None:
    left = [one.gap for one in work.plan.left_out]
    if not left:
        return
    with st.popover("Swap"):
        st.selectbox(
            "Another ball in its place",
            left,
            index=None,
            format_func=lambda gap: plan_words.gap_in_words(gap, work.proposal),
            key="plan-swap",
            on_change=_swapped,
            placeholder="Pick a ball",
        )


def _swapped() -> None:
    gap: Gap | None = st.session_state["plan-swap"]
    if gap is not None:
        change(lambda w: plan_edits.swapped(w.plan, w.at, gap, w.proposal.stands.values(), w.settings))
