"""What the coordinator's pages share: refused lines beside what to do about them, and problems told in a sentence."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import PurePath

import streamlit as st

from dashboard.tables.refused_lines import SHOWN_TELLINGS, RefusedFile, as_html, told_as_one
from dashboard.words.phrases import verbatim
from ingest.encoding import encoded
from ingest.mend_file import RefusedLine, mend_file
from ingest.problems import Refusal
from ingest.taken import Taken


def counted(number: int, thing: str) -> str:
    """A number with its thing: 1 line, 2 lines."""
    return f"{number:,} {thing}" if number == 1 else f"{number:,} {thing}s"


@contextmanager
def under_way(what: str) -> Iterator[Callable[[str], None]]:
    """Tell what is under way for as long as it lasts; what it gives tells what is being waited for."""
    notice = st.empty()

    def say(sentence: str) -> None:
        notice.info(sentence, icon=":material/hourglass:")

    try:
        with st.spinner(what):
            yield say
    finally:
        notice.empty()


def show_refused(lines: Sequence[RefusedLine], *, with_cells: bool = True, batch: int | None = None) -> None:
    """Refused lines: what is wrong and what to do, beside the line as typed if its cells are wanted."""
    st.html(as_html(lines, with_cells=with_cells, batch=batch))
    if (tellings := len(told_as_one(lines))) > SHOWN_TELLINGS:
        st.caption(
            f"What is wrong in most lines comes first: {SHOWN_TELLINGS} of {tellings:,} different mistakes. The file "
            f"to mend has all {len(lines):,} refused lines."
        )


def offer_to_mend(file_name: str, content: bytes, key: str) -> None:
    """A button that gives the refused lines as a file to mend and bring in again."""
    st.download_button(
        "Refused lines as a file to mend",
        content,
        file_name=f"{PurePath(file_name).stem}-refused.csv",
        mime="text/csv",
        icon=":material/download:",
        key=key,
        on_click="ignore",
    )


def offer_file_to_mend(file: RefusedFile) -> None:
    """The button for the file to mend of one batch."""
    encoding, separator = Taken.form_told(file.taken)
    offer_to_mend(file.file_name, encoded(mend_file(file.lines, separator), encoding), key=f"mend-{file.batch}")


def in_words(fault: Refusal) -> str:
    """What is wrong with a value, and what to do."""
    if not fault.seen:
        return "there is nothing yet. Fill it in."
    return verbatim(f"saw “{fault.seen}”, expected {fault.expected}. To do: {fault.to_do}.")
