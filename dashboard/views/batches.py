"""What came in: every batch, what became of its lines, and the way to take one back."""

from typing import Any

import streamlit as st

from dashboard import questions
from dashboard.questions import Desk
from dashboard.rows.building import frame_of
from dashboard.rows.club import BatchRow
from dashboard.services.logs import withdraw
from dashboard.tables.refused_lines import refused_files
from dashboard.views.frame import nothing_yet, page, refusals_told
from dashboard.views.refusals import counted, offer_file_to_mend, show_refused, under_way
from dashboard.words.phrases import verbatim

COLUMNS: dict[str, Any] = {
    "batch": st.column_config.NumberColumn("Batch", width="small"),
    "kind": "Log",
    "file_name": "File",
    "lines_read": "Read",
    "lines_accepted": "Accepted",
    "lines_refused": "Refused",
    "loaded_by": "Loaded by",
    "loaded_at": st.column_config.DatetimeColumn("Loaded", format="D MMM YYYY, HH:mm"),
    "withdrawn_at": st.column_config.DatetimeColumn("Withdrawn", format="D MMM YYYY", width="small"),
}


def body(desk: Desk) -> None:
    """The batches, the latest first; one of them closely; withdrawing it."""
    batches = [batch.by_the_clock_of(desk.folder.settings()) for batch in questions.batches(desk)]
    if not batches:
        nothing_yet(
            "Nothing came in yet.", "Every file and every block from the form will stand here, the latest first."
        )
        return
    if withdrawn := st.session_state.pop("withdrawn", None):
        st.success(
            f"Batch {withdrawn} is withdrawn; the pages show the log without it.", icon=":material/check_circle:"
        )
    st.dataframe(
        frame_of(batches, BatchRow).drop("withdrawn_by", "taken"),
        column_config=COLUMNS,
        placeholder="",
        hide_index=True,
        alt="Every batch, the latest first: its file, its counts, who loaded it and when",
    )
    by_number = {batch.batch: batch for batch in batches}
    number = st.selectbox(
        "Look at one batch", list(by_number), format_func=lambda number: batch_in_words(by_number[number])
    )
    if number is not None:
        show_batch(desk, by_number[number])


def batch_in_words(batch: BatchRow) -> str:
    """A batch as a list names it."""
    return f"{batch.batch}: {batch.file_name}{', withdrawn' if batch.withdrawn_at else ''}"


def show_batch(desk: Desk, batch: BatchRow) -> None:
    """One batch: how it was read, what was refused, and whether it is in force."""
    st.header(f"Batch {batch.batch}: {verbatim(batch.file_name)}")
    with st.grid(min_column_width=100):
        st.metric("Lines read", batch.lines_read)
        st.metric("Accepted", batch.lines_accepted)
        st.metric("Refused", batch.lines_refused)
    st.caption(verbatim(f"How it was read: {batch.taken}"))
    if batch.withdrawn_at:
        when = f"{batch.withdrawn_at:%d %B %Y, %H:%M}"
        st.info(
            f"Withdrawn by {verbatim(batch.withdrawn_by or 'somebody')} on {when}. Its lines do not count.",
            icon=":material/undo:",
        )
        return
    show_refusals(desk, batch.batch)
    with refusals_told():
        offer_to_withdraw(desk, batch)


def show_refusals(desk: Desk, number: int) -> None:
    """The refused lines of the batch, those mended since apart."""
    faults = questions.refused_in_batch(desk, number)
    for is_mended, heading in ((False, "Refused lines to mend"), (True, "Refused lines that have been mended since")):
        for file in refused_files(fault for fault in faults if fault.is_mended == is_mended):
            with st.expander(f"{heading}: {len(file.lines)}", expanded=not is_mended):
                show_refused(file.lines)
                if not is_mended:
                    offer_file_to_mend(file)


def offer_to_withdraw(desk: Desk, batch: BatchRow) -> None:
    """Withdraw the batch once somebody has read what that does and said yes."""
    number = batch.batch
    if st.button(f"Withdraw batch {number}", icon=":material/undo:"):
        st.session_state["to_withdraw"] = number
    if st.session_state.get("to_withdraw") != number:
        return
    with st.container(border=True):
        st.markdown(
            f"**Withdraw batch {number}?** Its {counted(batch.lines_accepted, 'accepted line')} "
            "will no longer count. Where they took the place of earlier lines, those count again. Nothing is deleted: "
            "the file stays listed here as withdrawn, and can be brought in again."
        )
        with st.container(horizontal=True):
            is_meant = st.button("Yes, withdraw it")
            is_kept = st.button("No, keep it")
    if is_meant or is_kept:
        del st.session_state["to_withdraw"]
    if is_meant:
        withdraw_it(desk, number)
    if is_kept:
        st.rerun()


def withdraw_it(desk: Desk, number: int) -> None:
    """Withdraw, publish, and begin the page anew."""
    with under_way("Withdrawing, and making the figures anew …") as say:
        withdraw(desk.folder, number, desk.reader, say=say)
    st.session_state["withdrawn"] = number
    st.rerun()


page("What came in", "Which files and forms are in the log, and what became of their lines?", body)
