"""Bring in logs: the verdict on every line before anything is stored, then the loading."""

from collections.abc import Iterable
from dataclasses import replace

import streamlit as st

from dashboard.questions import Desk
from dashboard.services.logs import load
from dashboard.services.meanings import remember
from dashboard.tables.batches import ALL_IN, NOT_IN, SOME_IN, file_row, split_bar
from dashboard.views.correct_here import correct_before, corrected_under, said_of
from dashboard.views.dates_asked import ask_for_dates, fingerprint, open_readings, with_said_dates
from dashboard.views.drawn import show
from dashboard.views.empty_files import show_templates
from dashboard.views.frame import page, refusals_told
from dashboard.views.loaded import LOADED, SETTLED, settle, show_loaded
from dashboard.views.meanings import (
    ask_to_remember,
    ask_what_columns_mean,
    header_read,
    said_columns,
    show_remembered,
)
from dashboard.views.refusals import counted, offer_to_mend, under_way
from dashboard.words.correcting import HOW_TO_UNDO, WHAT_WAITS
from dashboard.words.phrases import verbatim
from ingest.club_day import today
from ingest.correcting import ToCorrect
from ingest.loading import Incoming, Report, check
from sql.club.file_meanings import Said


def body(desk: Desk) -> None:
    """What the last loading did; a place for files; their verdict; the button that stores them."""
    state = st.session_state
    above = st.container()
    dropped = st.file_uploader(
        "CSV or Excel files, one or several at once",
        accept_multiple_files=True,
        key=f"dropped-{state.setdefault('rounds_loaded', 0)}",
    )
    if dropped:
        state.pop(LOADED, None)
        with refusals_told():
            judge(desk, [Incoming(file.name, file.getvalue()) for file in dropped])
    with above:
        show_loaded(desk)
    show_remembered(desk)
    show_templates()


def judge(desk: Desk, files: list[Incoming]) -> None:
    """The verdict on the dropped files, and what can be done with them."""
    files = [replace(file, meant=said_columns(fingerprint(file))) for file in with_said_dates(files)]
    reports = verdicts(desk, files)
    st.header("Verdict: nothing is stored yet")
    show_verdicts(reports)
    above = st.container()
    undated = {file.name for file in files if open_readings(file)}
    behind: list[Incoming] = []
    said: list[Said] = []
    for file, report in with_their_reports(files, reports):
        corrected = show_details(desk, file, report, is_alone=len(reports) == 1, is_undated=file.name in undated)
        behind += [corrected] if corrected else []
        said += to_remember(file, report)
    with above:
        if offer_to_load(is_anything=bool(behind) or any(map(would_change, reports))):
            remember(desk, said)
            load_them(desk, [*files, *behind])
    ask_for_dates(desk, files, reports)


def with_their_reports(files: list[Incoming], reports: list[Report]) -> list[tuple[Incoming, Report]]:
    """Each report with its file: reports come in the order of loading."""
    waiting = list(files)
    pairs = []
    for report in reports:
        sha256 = report.taken.sha256 if report.taken else None
        alike = [file for file in waiting if file.name == report.file_name]
        file = next((file for file in alike if fingerprint(file) == sha256), alike[0])
        waiting.remove(file)
        pairs.append((file, report))
    return pairs


def to_remember(file: Incoming, report: Report) -> tuple[Said, ...]:
    """What of a file's columns and words shall be remembered for its source."""
    if report.taken is None:
        return ()
    key = fingerprint(file)
    return ask_to_remember(file.name, header_read(file, key), " ".join(report.taken.sentences), said_of(key), key)


def offer_to_load(*, is_anything: bool) -> bool:
    """The button that stores the files, and what it does."""
    is_pressed = st.button("Load", icon=":material/input:", type="primary", disabled=not is_anything)
    if is_anything:
        st.caption(f"Loading takes the accepted lines in. {WHAT_WAITS} {HOW_TO_UNDO}")
    else:
        st.caption("There is nothing to load here.")
    return is_pressed


def verdicts(desk: Desk, files: list[Incoming]) -> list[Report]:
    """What loading would do, asked once for the same files, the same choices and the same log."""
    publication = desk.folder.publication_in_force()
    key = (
        publication and publication.name,
        [(file.name, fingerprint(file), file.date_form, file.meant) for file in files],
    )
    if st.session_state.get("verdict_key") != key:
        with under_way("Reading and screening every line …") as say:
            st.session_state["verdicts"] = check(desk.folder, files, today=today(), say=say)
        st.session_state["verdict_key"] = key
    found: list[Report] = st.session_state["verdicts"]
    return found


def would_change(report: Report) -> bool:
    """Loading the file would store something."""
    return report.taken is not None and not report.repeats_batch and report.lines_read > 0


def show_verdicts(reports: Iterable[Report]) -> None:
    """Each file with its verdict: what of it would come in."""
    with st.container(key="hl-card-verdicts"):
        show(*(file_row(report.file_name, _verdict_and_kind(report), _would_become(report)) for report in reports))


def _verdict_and_kind(report: Report) -> str:
    kind = f"{report.taken.kind} · " if report.taken else ""
    return f"{kind}{counted(report.lines_read, 'line')} · {verdict_in_words(report)}"


def _would_become(report: Report) -> str:
    if report.taken is None or not report.lines_accepted:
        return NOT_IN
    return SOME_IN if report.lines_refused else ALL_IN


def verdict_in_words(report: Report) -> str:
    """The verdict on one file in a few words, led by a sign."""
    if report.taken is None:
        return "✗ refused as a whole"
    if report.repeats_batch:
        return f"= in already, as batch {report.repeats_batch}"
    if report.lines_refused:
        return f"✗ {counted(report.lines_refused, 'line')} to mend"
    return "✓ all lines are in order"


def show_details(desk: Desk, file: Incoming, report: Report, *, is_alone: bool, is_undated: bool) -> Incoming | None:
    """How one file was read, and its refused lines to be corrected; gives those that are corrected, as a file."""
    key = fingerprint(file)
    label = f"{verbatim(report.file_name)}: {verdict_in_words(report)}"
    with st.expander(label, expanded=is_alone or not report.is_sound):
        if report.taken is None:
            show_whole_refusal(report, is_undated=is_undated)
            ask_what_columns_mean(file, report, key)
            return None
        show_counts(report)
        ask_what_columns_mean(file, report, key)
        if not report.refused:
            return None
        offer_to_mend(report.file_name, report.mendable_file, key=f"mend-{key}")
        to_correct = ToCorrect(report.file_name, " ".join(report.taken.sentences), report.refused)
        return correct_before(desk, to_correct, key, file)


def show_counts(report: Report) -> None:
    """What was read, and how; what of it would come in."""
    show(split_bar(report.lines_accepted, report.lines_refused))
    counts = report.comparison
    st.markdown(
        f"{counted(report.lines_read, 'line')} read. Of {report.lines_accepted} accepted, {counts.new} are new, "
        f"{counts.correcting} correct a line in the log, {counts.already_there} are there already."
    )
    if report.taken:
        st.caption(verbatim(f"How it was read: {' '.join(report.taken.sentences)}"))


def show_whole_refusal(report: Report, *, is_undated: bool) -> None:
    """Why a file cannot be taken at all."""
    for refusal in report.refusals:
        to_do = "say above how its dates are meant, or write them as YYYY-MM-DD" if is_undated else refusal.to_do
        st.markdown(verbatim(f"Saw {refusal.seen}, expected {refusal.expected}."))
        st.markdown(f"**To do:** {verbatim(to_do)}.")


def load_them(desk: Desk, files: list[Incoming]) -> None:
    """Store the files and publish, saying what is under way; then begin with an empty page."""
    state = st.session_state
    state.pop("verdict_key", None)
    state.pop(SETTLED, None)
    with st.status("Loading …", expanded=True) as status:
        state[LOADED] = load(
            desk.folder,
            files,
            desk.reader,
            today=today(),
            say=status.write,
            progress=lambda done, total, name: status.update(label=f"Making the figures: {done} of {total}, {name}"),
        )
    for file in files:
        settle(corrected_under(fingerprint(file)))
    state["rounds_loaded"] += 1
    st.rerun()


page("Bring in logs", "Is every line in order? You see it before anything is stored.", body)
