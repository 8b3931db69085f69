"""How the dates of a file are meant, where it does not show that itself: asked once for each file."""

from dataclasses import replace
from datetime import date
from hashlib import sha256

import streamlit as st

from dashboard.questions import Desk
from dashboard.words.phrases import verbatim
from ingest.club_day import today
from ingest.dates import DAY_FIRST, MONTH_FIRST
from ingest.loading import Incoming, Report, check


def fingerprint(file: Incoming) -> str:
    """Tells files of the same name apart."""
    return sha256(file.content).hexdigest()


def with_said_dates(files: list[Incoming]) -> list[Incoming]:
    """The files with the order of day and month where somebody has said it; the question stays on the page."""
    return [replace(file, date_form=given_date_form(file)) if open_readings(file) else file for file in files]


def open_readings(file: Incoming) -> dict[str, str]:
    """The ways in which the dates of a file may be meant, where that had to be asked; else none."""
    readings: dict[str, str] = st.session_state.setdefault("readings", {}).get(fingerprint(file), {})
    return readings


def given_date_form(file: Incoming) -> str | None:
    """Ask how the dates of a file are meant."""
    readings = open_readings(file)
    form: str | None = st.radio(
        f"{verbatim(file.name)}: how are its dates meant?",
        list(readings),
        format_func=readings.__getitem__,
        index=None,
        key=f"dates-{fingerprint(file)}",
    )
    return form


def ask_for_dates(desk: Desk, files: list[Incoming], reports: list[Report]) -> None:
    """Find the files that can be read as soon as somebody says how their dates are meant, and ask."""
    readings = st.session_state["readings"]
    unread = {report.file_name for report in reports if report.taken is None}
    untried = [file for file in files if file.name in unread and fingerprint(file) not in readings]
    for file in untried:
        readings[fingerprint(file)] = readings_of(desk, file)
    if any(map(open_readings, untried)):
        st.rerun()


def readings_of(desk: Desk, file: Incoming) -> dict[str, str]:
    """The orders of day and month under which the file can be read, each with a date of the file as it is then read."""
    readings = {}
    for form in (DAY_FIRST, MONTH_FIRST):
        (report,) = check(desk.folder, [replace(file, date_form=form)], today=today())
        if report.taken and report.taken.date_example:
            typed, read = report.taken.date_example
            day = date.fromisoformat(read)
            readings[form] = f"{form}: {typed} is {day.day} {day:%B %Y}"
    return readings
