"""Columns and words that the log does not know: what they mean is said once, and remembered for their source."""

from collections.abc import Iterable, Mapping, Sequence

import streamlit as st

from dashboard.questions import Desk
from dashboard.services import meanings as kept
from dashboard.words.meanings import ASKED, column_in_words, remember_in_words, source_in_words
from dashboard.words.phrases import verbatim
from ingest.correcting import Corrections
from ingest.incoming import Incoming
from ingest.kinds import nearest_kind, squeezed
from ingest.loading import Report
from ingest.meanings import Meanings, may_be_meant, source_of
from ingest.reading import header_of
from ingest.taken import Taken
from models.records import RECORDS, Column, columns_of
from sql.club.file_meanings import Said


def said_columns(key: str) -> Meanings:
    """What was said of the columns of the file under this key, on this page."""
    prefix = f"hl-column-{key}-"
    said = {str(name): column for name, column in st.session_state.items() if str(name).startswith(prefix)}
    return Meanings({name.removeprefix(prefix): column.name for name, column in said.items() if column})


def ask_what_columns_mean(file: Incoming, report: Report, key: str) -> None:
    """A choice for each column that the log does not know."""
    header = header_read(file, key)
    kind = report.taken.kind if report.taken else nearest_kind(header)
    columns = columns_of(RECORDS[kind])
    known = {squeezed(column.name) for column in columns}
    remembered = {squeezed(typed) for typed, _ in report.taken.columns_meant} if report.taken else set()
    here = said_columns(key).columns
    unknown = [name for name in header if name.strip() and squeezed(name) not in known | (remembered - here.keys())]
    free = [column for column in columns if squeezed(column.name) not in map(squeezed, header)]
    if not unknown or not free:
        return
    st.markdown(f"**Columns that are not known.** {ASKED}")
    for name in unknown:
        _ask(name, free, key)


def _ask(name: str, free: Sequence[Column], key: str) -> None:
    choices: list[Column | None] = [None, *free]
    label, one = f"“{verbatim(name)}” is", f"hl-column-{key}-{squeezed(name)}"
    st.selectbox(label, choices, key=one, format_func=column_in_words)


def header_read(file: Incoming, key: str) -> tuple[str, ...]:
    """The header of a file, read once."""
    found = st.session_state.get(f"hl-header-{key}")
    if found is None:
        found = st.session_state[f"hl-header-{key}"] = header_of(file.name, file.read())
    header: tuple[str, ...] = found
    return header


def ask_to_remember(
    file_name: str, header: Sequence[str], taken: str, corrections: Corrections, key: str
) -> tuple[Said, ...]:
    """Whether what was said of columns and words shall hold for this source from now on; gives what shall.

    `taken`: how the file was read, in sentences.
    """
    source = source_of(file_name, header)
    here, order = said_columns(key).columns, list(map(squeezed, header))
    columns = [Said(source, None, typed, here[typed]) for typed in sorted(here, key=order.index)]
    kind, _ = Taken.meaning_told(taken)
    words = [Said(source, *one) for one in _words_said(kind, Taken.columns_told(taken), corrections)] if kind else []
    asked = (("columns", columns, True), ("words", words, False))
    wanted = (said for what, said, is_usual in asked if said and _is_wanted(source, said, f"{key}-{what}", is_usual))
    return tuple(one for said in wanted for one in said)


def _is_wanted(source: str, said: Sequence[Said], key: str, is_usual: bool) -> bool:
    return st.checkbox(verbatim(remember_in_words(source, said)), value=is_usual, key=f"hl-remember-{key}")


def _words_said(kind: str, named: Mapping[str, str], corrections: Corrections) -> Iterable[tuple[str, str, str]]:
    by_squeezed = {squeezed(column.name): column.name for column in columns_of(RECORDS[kind])} | dict(named)
    for (column, typed), value in corrections.alike.items():
        name = by_squeezed.get(column, column)
        if typed and may_be_meant(kind, name, value):
            yield name, typed, value


def show_remembered(desk: Desk) -> None:
    """All that is remembered, each with a way to forget it."""
    said = kept.remembered(desk)
    if not said:
        return
    with st.expander(f"What is remembered of files: {len(said)}"):
        for number, one in enumerate(said):
            with st.container(key=f"hl-remembered-{number}", horizontal=True, vertical_alignment="center"):
                column = f"{one.of_column}: " if one.of_column else "column "
                st.markdown(verbatim(f"{column}{one.typed} is {one.meant}, in {source_in_words(one.source)}"))
                if st.button("Forget it", key=f"hl-forget-{number}", icon=":material/undo:"):
                    kept.forget(desk, one)
                    st.rerun()
