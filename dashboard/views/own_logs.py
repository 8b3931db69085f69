"""Logged by players: the balls that players counted of themselves, accepted block by block by who trains them."""

from collections.abc import Sequence

import streamlit as st

from dashboard import questions
from dashboard.questions import Desk
from dashboard.rows.club import TableBlockRow
from dashboard.services.logs import accept
from dashboard.views.frame import page, refusals_told
from dashboard.views.refusals import under_way
from dashboard.words.own_balls import (
    COUNTED_MEANWHILE,
    LEFT_OUT_MEANWHILE,
    NOTHING_WAITS,
    WHAT_IT_IS,
    block_in_words,
    who_counted,
)
from dashboard.words.phrases import verbatim

SHOWN = 50
"""So many blocks are shown; the next come as these are accepted."""


def body(desk: Desk) -> None:
    """What waits, the latest first, each block with its own button; and all that are shown with one."""
    st.markdown(f"{WHAT_IT_IS} {_meanwhile(desk)}")
    waiting = questions.waiting_blocks(desk)
    if not waiting:
        st.success(NOTHING_WAITS, icon=":material/check_circle:")
        return
    names = questions.names_by_code(desk)
    shown = waiting[:SHOWN]
    for block in shown:
        _show(desk, block, names.get(block.player_id, block.player_id))
    if len(waiting) > len(shown):
        st.caption(f"The latest {len(shown)} of {len(waiting)} blocks.")
    if len(shown) > 1 and st.button(f"Accept these {len(shown)} blocks", icon=":material/done_all:"):
        accept_them(desk, shown)


def _meanwhile(desk: Desk) -> str:
    return COUNTED_MEANWHILE if desk.folder.settings().counts_own_balls else LEFT_OUT_MEANWHILE


def _show(desk: Desk, block: TableBlockRow, name: str) -> None:
    with st.container(border=True, horizontal=True, vertical_alignment="center"):
        st.markdown(f"**{verbatim(block_in_words(block, name))}**  \n{verbatim(who_counted(block))}.", width="stretch")
        if st.button("Accept", key=f"accept-{block.batch}", icon=":material/check:"):
            accept_them(desk, [block])


def accept_them(desk: Desk, blocks: Sequence[TableBlockRow]) -> None:
    """Accept, publish, and draw the page anew."""
    with refusals_told():
        with under_way("Accepting, and making the figures anew …") as say:
            accept(desk, {block.batch for block in blocks}, say=say)
        st.rerun()


page("Logged by players", "Which balls are a player's own word, and do you stand by them?", body)
