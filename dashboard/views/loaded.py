"""What became of the files that were loaded last: what is in, what waits, and the way back."""

from dataclasses import replace

import streamlit as st

from dashboard.questions import Desk
from dashboard.views.correct_here import correct_here, take_back, tell_brought_in
from dashboard.views.refusals import counted, offer_to_mend
from dashboard.words.correcting import what_happened
from dashboard.words.phrases import verbatim
from ingest.correcting import ToCorrect
from ingest.loading import Report

LOADED, SETTLED = "loaded", "hl-settled"


def settled() -> frozenset[str]:
    """The names of the refused lines that wait no longer, since they were corrected here."""
    names: frozenset[str] = st.session_state.get(SETTLED, frozenset())
    return names


def settle(names: frozenset[str]) -> None:
    """Note lines that wait no longer."""
    st.session_state[SETTLED] = settled() | names


def show_loaded(desk: Desk) -> None:
    """What became of the files that were loaded last."""
    reports: list[Report] = st.session_state.get(LOADED, [])
    if not reports:
        return
    with st.container(border=True):
        st.header("What happened")
        for report in reports:
            _show_outcome(desk, report)
        tell_brought_in(desk)
        st.page_link("views/club_week.py", label="See the club's week", icon=":material/calendar_view_week:")


def _show_outcome(desk: Desk, report: Report) -> None:
    waiting = replace(report, refused=tuple(line for line in report.refused if line.name not in settled()))
    with st.container(key=f"hl-outcome-{report.batch or report.file_name}", horizontal=True):
        st.markdown(outcome_in_words(report))
        if report.batch:
            take_back(desk, report.batch, _taken_back)
    if waiting.refused and report.batch and report.taken:
        taken = " ".join(report.taken.sentences)
        lines = ToCorrect(report.file_name, taken, waiting.refused)
        offer_to_mend(report.file_name, waiting.mendable_file, key=f"mend-loaded-{report.file_name}-{report.batch}")
        correct_here(desk, lines, f"loaded-{report.batch}", settled=settle)


def _taken_back(batch: int) -> None:
    st.session_state[LOADED] = [report for report in st.session_state[LOADED] if report.batch != batch]


def outcome_in_words(report: Report) -> str:
    """What became of one file, led by a sign."""
    name = f"**{verbatim(report.file_name)}**"
    if report.taken is None:
        return f":material/error: {name} was refused as a whole; nothing of it is stored."
    if report.repeats_batch:
        return f":material/equal: {name} was in already as batch {report.repeats_batch}; nothing has changed."
    if report.lines_left_out:
        return f":material/check_circle: {what_happened(report.lines_accepted, report.lines_left_out, report.batch)}"
    accepted = f"{counted(report.lines_accepted, 'line')} accepted"
    if report.lines_refused:
        refused = f"{counted(report.lines_refused, 'line')} refused and kept aside to be mended"
        return f":material/rule: {name} is in as batch {report.batch}: {accepted}, {refused}."
    return f":material/check_circle: {name} is in as batch {report.batch}: {accepted}, none refused."
