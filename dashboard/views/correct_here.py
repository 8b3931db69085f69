"""Refused lines corrected where they are shown, and brought in again: one part of several pages."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import streamlit as st

from dashboard.questions import Desk
from dashboard.services.logs import load, withdraw
from dashboard.services.meanings import remember
from dashboard.tables.correcting import Sheet, grid, sheet_of
from dashboard.tables.refused_lines import RefusedFile
from dashboard.views.frame import refusals_told
from dashboard.views.meanings import ask_to_remember
from dashboard.views.ours import mounted
from dashboard.views.refusals import offer_file_to_mend, show_refused, under_way
from dashboard.words.correcting import HOW_TO_UNDO, counted_lines, what_happened, what_happens
from dashboard.words.phrases import verbatim
from ingest.club_day import now, today
from ingest.correcting import Corrections, Judged, ToCorrect, corrected_file, judged
from ingest.loading import Incoming, Report, check

BROUGHT_IN = "hl-brought-in"
"""The batches of corrected lines that were brought in since the page was opened, each with what happened."""

Settled = Callable[[frozenset[str]], None]
"""Told the names of the lines that wait no longer."""


def said_of(key: str) -> Corrections:
    """What was said so far of the lines that are corrected under this key."""
    said: Corrections = st.session_state.get(f"hl-said-{key}", Corrections())
    return said


def show_to_correct(desk: Desk, file: RefusedFile, *, with_cells: bool = True) -> None:
    """The refused lines of a batch, told; and, once somebody wants that, the grid in which they are corrected."""
    key = f"{file.batch}"
    if not st.session_state.get(f"hl-open-{key}"):
        show_refused(file.lines, with_cells=with_cells, batch=None if with_cells else file.batch)
        with st.container(key=f"hl-ways-{key}", horizontal=True):
            st.button("Correct them here", key=f"hl-begin-{key}", icon=":material/edit:", on_click=_open, args=(key,))
            offer_file_to_mend(file)
        return
    correct_here(desk, ToCorrect(file.file_name, file.taken, file.lines), key)


def _open(key: str) -> None:
    st.session_state[f"hl-open-{key}"] = True


def correct_here(desk: Desk, to_correct: ToCorrect, key: str, *, settled: Settled = lambda _: None) -> None:
    """The grid with a button of its own, for lines that were refused when their file was loaded."""
    verdict = _grid_of(desk, to_correct, key)
    is_anything = bool(verdict.settled) and not said_of(key).is_empty
    header = to_correct.lines[0].header
    said = ask_to_remember(to_correct.file_name, header, to_correct.taken, said_of(key), key)
    label = f"Bring in {counted_lines(len(verdict.settled))}" if is_anything else "Bring in the corrected lines"
    if st.button(label, key=f"hl-bring-{key}", type="primary", disabled=not is_anything, icon=":material/input:"):
        remember(desk, said)
        _bring_in(desk, to_correct, key, verdict)
        settled(verdict.settled)
        st.rerun()
    st.caption(HOW_TO_UNDO)


def correct_before(desk: Desk, to_correct: ToCorrect, key: str, file: Incoming) -> Incoming | None:
    """The grid for a file that is not loaded yet; gives the file of corrected lines that is to be loaded behind it."""
    verdict = _grid_of(desk, to_correct, key, before=(file,))
    st.caption(HOW_TO_UNDO)
    if said_of(key).is_empty or not verdict.settled:
        return None
    return _file(to_correct, said_of(key), verdict.settled)


def _grid_of(desk: Desk, to_correct: ToCorrect, key: str, before: Sequence[Incoming] = ()) -> Judged:
    verdict = _verdict(desk, to_correct, key, before)
    sheet = _sheet(to_correct, key)
    with st.container(key=f"hl-card-correct-{key}"):
        st.markdown(f"**{verbatim(what_happens(verdict, said_of(key)))}**")
        number = st.pagination(sheet.pages, key=f"hl-page-{key}") if sheet.pages > 1 else 1
        if sheet.pages > 1:
            st.caption(f"Page {number} of {sheet.pages:,}: what is wrong in most lines comes first.")
        _show(to_correct, key, sheet, verdict, number)
    return verdict


def _show(to_correct: ToCorrect, key: str, sheet: Sheet, verdict: Judged, number: int) -> None:
    heard_key = f"hl-heard-{key}"

    def told() -> None:
        for one in st.session_state[f"hl-grid-{key}"].said or ():
            if int(one["number"]) > st.session_state.get(heard_key, 0):
                st.session_state[heard_key] = int(one["number"])
                st.session_state[f"hl-said-{key}"] = heard(one, to_correct, said_of(key))

    html = grid(sheet.page(number), sheet, said_of(key), verdict)
    data = {"html": html, "heard": st.session_state.get(heard_key, 0)}
    mounted("correcting")(key=f"hl-grid-{key}", data=data, on_said_change=told)


def heard(said: Mapping[str, Any], to_correct: ToCorrect, before: Corrections) -> Corrections:
    """The corrections with what the grid told; what cannot be meant changes nothing."""
    line = to_correct.line(str(said.get("line", "")))
    value, place = str(said.get("value", "")), str(said.get("place", ""))
    if said.get("act") == "unalike":
        return before.without_alike(str(said.get("column")), str(said.get("typed")))
    if line is None:
        return before
    if said.get("act") in ("leave", "keep"):
        return before.with_left_out(line.name, value if said["act"] == "leave" else "")
    if not place.isdecimal():
        return before
    if said.get("act") == "alike":
        return before.with_all_like(line, int(place), value)
    return before.with_cell(line, int(place), value) if said.get("act") == "cell" else before


def _verdict(desk: Desk, to_correct: ToCorrect, key: str, before: Sequence[Incoming]) -> Judged:
    """What bringing in would do, asked once for the same corrections and the same log."""
    publication, said = desk.folder.publication_in_force(), said_of(key)
    if before and said.is_empty:  # The file was judged a moment ago.
        return Judged(to_correct.lines, {line.name: line.faults for line in to_correct.lines}, frozenset())
    asked = (publication and publication.name, to_correct.lines, said)
    kept = st.session_state.get(f"hl-verdict-{key}")
    if kept is None or kept[0] != asked:
        with under_way("Judging the lines as they are now …") as say:
            files = [*before, corrected_file(to_correct, said)]
            reports = check(desk.folder, files, today=today(), say=say)
        kept = (asked, judged(to_correct, said, reports[-1]))
        st.session_state[f"hl-verdict-{key}"] = kept
    verdict: Judged = kept[1]
    return verdict


def _sheet(to_correct: ToCorrect, key: str) -> Sheet:
    kept = st.session_state.get(f"hl-sheet-{key}")
    if kept is None or kept[0] != to_correct.lines:
        kept = st.session_state[f"hl-sheet-{key}"] = (to_correct.lines, sheet_of(to_correct))
    sheet: Sheet = kept[1]
    return sheet


def _file(to_correct: ToCorrect, said: Corrections, only: frozenset[str]) -> Incoming:
    return corrected_file(to_correct, said, only=only, said_at=f"{now():%Y-%m-%d %H.%M.%S}")


def _bring_in(desk: Desk, to_correct: ToCorrect, key: str, verdict: Judged) -> None:
    with under_way("Bringing the lines in, and making the figures anew …") as say:
        file = _file(to_correct, said_of(key), verdict.settled)
        (report,) = load(desk.folder, [file], desk.reader, today=today(), say=say)
    forget(key)
    brought_in(report)


def corrected_under(key: str) -> frozenset[str]:
    """The names of the lines that were corrected under this key and wait no longer; begins anew with it."""
    kept = st.session_state.get(f"hl-verdict-{key}")
    names: frozenset[str] = kept[1].settled if kept and not said_of(key).is_empty else frozenset()
    forget(key)
    return names


def forget(key: str) -> None:
    """Begin anew with the lines under this key."""
    for kept in ("said", "verdict", "sheet"):
        st.session_state.pop(f"hl-{kept}-{key}", None)


def brought_in(report: Report) -> None:
    """Note a batch of corrected lines, so that the page tells of it and can take it back."""
    if report.batch:
        told = what_happened(report.lines_accepted, report.lines_left_out, report.batch)
        st.session_state.setdefault(BROUGHT_IN, {})[report.batch] = told


def tell_brought_in(desk: Desk) -> None:
    """What was brought in on this page, each with a way to take it back."""
    for batch, told in list(st.session_state.get(BROUGHT_IN, {}).items()):
        with st.container(key=f"hl-outcome-{batch}", horizontal=True, vertical_alignment="center"):
            st.markdown(f":material/check_circle: {told}")
            take_back(desk, batch, _forget_batch)


def _forget_batch(batch: int) -> None:
    del st.session_state[BROUGHT_IN][batch]


def take_back(desk: Desk, batch: int, taken_back: Callable[[int], None]) -> None:
    """A button that withdraws a batch."""
    if st.button(f"Take it back (withdraw batch {batch})", key=f"hl-back-{batch}", icon=":material/undo:"):
        with refusals_told():
            with under_way("Withdrawing, and making the figures anew …") as say:
                withdraw(desk.folder, batch, desk.reader, say=say)
            taken_back(batch)
            st.rerun()
