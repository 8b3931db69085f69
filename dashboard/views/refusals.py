"""What the coordinator's pages share: refused lines beside what to do about them, and problems told in a sentence."""

import getpass
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import PurePath

import streamlit as st

from dashboard.refused_lines import SHOWN_LINES, RefusedFile, RefusedLine, as_html, csv_to_mend
from sql.build import BuildFailed
from sql.folder import FolderProblem
from sql.log_book import CannotWithdraw


def who() -> str:
    """Whose hand this is, as the log notes it: the account on this machine."""
    return getpass.getuser()


@contextmanager
def problems_told() -> Iterator[None]:
    """Tell what its keeper must mend in a sentence, and go on with the page."""
    try:
        yield
    except (FolderProblem, CannotWithdraw) as problem:
        st.error(str(problem), icon=":material/error:")
    except BuildFailed as problem:
        st.error(
            "What was done is stored, but the figures could not be made anew; the pages still show the earlier ones. "
            f"The reason: {problem}",
            icon=":material/error:",
        )


def show_refused(lines: Sequence[RefusedLine]) -> None:
    """Refused lines as typed, each beside what is wrong and what to do."""
    st.html(as_html(lines[:SHOWN_LINES]))
    if len(lines) > SHOWN_LINES:
        st.caption(f"The first {SHOWN_LINES} of {len(lines)} refused lines; the file to mend has them all.")


def offer_to_mend(file_name: str, text: str, key: str) -> None:
    """A button that gives the refused lines as a file to mend and bring in again."""
    st.download_button(
        "Refused lines as a file to mend",
        text.encode("utf-8-sig"),
        file_name=f"{PurePath(file_name).stem}-refused.csv",
        mime="text/csv",
        icon=":material/download:",
        key=key,
        on_click="ignore",
    )


def show_refused_file(file: RefusedFile) -> None:
    """The refused lines of one batch, and the button for the file to mend."""
    show_refused(file.lines)
    offer_to_mend(file.file_name, csv_to_mend(file), key=f"mend-{file.batch}")
