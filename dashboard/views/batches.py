"""What came in: every batch, what became of its lines, and the way to take one back."""

from collections.abc import Sequence

import streamlit as st

from dashboard import questions
from dashboard.questions import Desk
from dashboard.rows.club import BatchRow
from dashboard.services.logs import withdraw
from dashboard.tables.batches import batch_row
from dashboard.tables.refused_lines import refused_files
from dashboard.views.correct_here import show_to_correct, tell_brought_in
from dashboard.views.drawn import show
from dashboard.views.frame import nothing_yet, page, refusals_told
from dashboard.views.refusals import counted, show_refused, under_way
from dashboard.words.own_balls import who_counted
from dashboard.words.phrases import verbatim
from ingest.kinds import LEFT_OUT

AT_ONCE = 12
"""So many batches stand on one page of the list."""

LOOKED_AT, TO_WITHDRAW, WITHDRAWN = "looked_at", "to_withdraw", "withdrawn"


def body(desk: Desk) -> None:
    """The batches, the latest first; what one looks at, and what one takes back, in its place."""
    batches = [batch.by_the_clock_of(desk.folder.settings()) for batch in questions.batches(desk)]
    if not batches:
        nothing_yet(
            "Nothing came in yet.", "Every file and every block from the form will stand here, the latest first."
        )
        return
    if withdrawn := st.session_state.pop(WITHDRAWN, None):
        st.success(
            f"Batch {withdrawn} is withdrawn; the pages show the log without it.", icon=":material/check_circle:"
        )
    tell_brought_in(desk)
    turned_to = st.container()
    pages = -(-len(batches) // AT_ONCE)
    number = st.pagination(pages) if pages > 1 else 1
    with turned_to, st.container(key="hl-card-batches"):
        for batch in _on_page(batches, number):
            show_batch(desk, batch)


def _on_page(batches: Sequence[BatchRow], number: int) -> Sequence[BatchRow]:
    return batches[(number - 1) * AT_ONCE : number * AT_ONCE]


def show_batch(desk: Desk, batch: BatchRow) -> None:
    """One batch in two lines, and below it what was asked for."""
    number = batch.batch
    with st.container(key=f"hl-batch-{number}", horizontal=True, vertical_alignment="center"):
        show(batch_row(batch))
        if st.button(f"Look at batch {number}", key=f"look-{number}"):
            st.session_state[LOOKED_AT] = None if st.session_state.get(LOOKED_AT) == number else number
        if not batch.withdrawn_at and st.button(
            f"Withdraw batch {number}", key=f"withdraw-{number}", icon=":material/undo:"
        ):
            st.session_state[TO_WITHDRAW] = number
    if st.session_state.get(TO_WITHDRAW) == number:
        with refusals_told():
            ask_to_withdraw(desk, batch)
    if st.session_state.get(LOOKED_AT) == number:
        with st.container(border=True):
            show_closely(desk, batch)


def show_closely(desk: Desk, batch: BatchRow) -> None:
    """How a batch was read, what was refused, and whether it is in force."""
    counts = (
        f"{counted(batch.lines_read, 'line')} read, {batch.lines_accepted:,} accepted, {batch.lines_refused:,} refused."
    )
    st.markdown(counts)
    st.caption(verbatim(f"How it was read: {batch.taken}"))
    if batch.withdrawn_at:
        when = f"{batch.withdrawn_at:%d %B %Y, %H:%M}"
        who = verbatim(batch.withdrawn_by or "somebody")
        st.info(f"Withdrawn by {who} on {when}. Its lines do not count.", icon=":material/undo:")
        return
    show_who_counted(desk, batch)
    show_refusals(desk, batch.batch)


def show_who_counted(desk: Desk, batch: BatchRow) -> None:
    """Of a block from the table: who was signed in, whom they noted as the coach, and whose word it is."""
    for block in questions.table_blocks(desk):
        if block.batch == batch.batch:
            st.markdown(verbatim(f"{who_counted(block)}.{_whose_word(batch)}"))


def _whose_word(batch: BatchRow) -> str:
    if not batch.is_own:
        return ""
    accepted = f"accepted by {batch.accepted_by}" if batch.accepted_by else "accepted by nobody yet"
    return f" The player's own word, {accepted}."


def show_refusals(desk: Desk, number: int) -> None:
    """The refused lines of the batch, those mended since apart."""
    faults = questions.refused_in_batch(desk, number)
    final = [fault for fault in faults if fault.column_name == LEFT_OUT]
    settled = [fault for fault in faults if fault.is_mended and fault.column_name != LEFT_OUT]
    for file in refused_files(fault for fault in faults if not fault.is_mended):
        with st.expander(f"Refused lines to mend: {len(file.lines)}", expanded=True):
            show_to_correct(desk, file)
    for heading, done in (("Refused lines that have been settled since", settled), ("Lines left out for good", final)):
        for file in refused_files(done):
            with st.expander(f"{heading}: {len(file.lines)}"):
                show_refused(file.lines)


def ask_to_withdraw(desk: Desk, batch: BatchRow) -> None:
    """Withdraw the batch once somebody has read what that does and said yes."""
    number = batch.batch
    with st.container(border=True):
        st.markdown(
            f"**Withdraw batch {number}?** Its {counted(batch.lines_accepted, 'accepted line')} "
            "will no longer count. Where they took the place of earlier lines, those count again. Nothing is deleted: "
            "the file stays listed here as withdrawn, and can be brought in again."
        )
        with st.container(horizontal=True):
            is_meant = st.button("Yes, withdraw it", type="primary")
            is_kept = st.button("No, keep it")
    if is_meant or is_kept:
        del st.session_state[TO_WITHDRAW]
    if is_meant:
        withdraw_it(desk, number)
    if is_kept:
        st.rerun()


def withdraw_it(desk: Desk, number: int) -> None:
    """Withdraw, publish, and begin the page anew."""
    with under_way("Withdrawing, and making the figures anew …") as say:
        withdraw(desk.folder, number, desk.reader, say=say)
    st.session_state[WITHDRAWN] = number
    st.rerun()


page("What came in", "Which files and forms are in the log, and what became of their lines?", body)
