"""Places and feeders: where a feeder stands, from which day on, and which machines the club has."""

from dataclasses import asdict

import streamlit as st

from dashboard import questions
from dashboard.questions import Desk
from dashboard.rows.lists import ListedSetup
from dashboard.views.frame import page, tell_cautions
from dashboard.views.line_form import Values
from dashboard.views.list_form import ListForm, show_list_form
from dashboard.views.saved_lately import show_saved_lately
from dashboard.words.lists import code_and_name
from models.records import FIRST_DAY

SETUPS, FEEDERS = "Where feeders stand", "Which feeders there are"


def body(desk: Desk) -> None:
    """The setups; for whoever keeps the club's lists, the feeders too."""
    section = SETUPS
    if desk.reader.keeps_accounts:
        section = st.segmented_control("Which list?", [SETUPS, FEEDERS], default=SETUPS, required=True)
    if section == SETUPS:
        show_setups(desk)
    else:
        show_feeders(desk)


def show_setups(desk: Desk) -> None:
    """A setup, new or changed."""
    st.caption(
        "The drawing for trying a place is on the page Setups. Here a place gets its code. A day in “valid from” that "
        "is not there yet keeps the earlier place for the days before it; the day that is there corrects the place."
    )
    setups = {row.setup: row for row in questions.listed_setups(desk)}
    feeders = {row.feeder: code_and_name(row.feeder, row.name) for row in questions.listed_feeders(desk)}
    form = ListForm(
        kind="setups",
        which="Which setup?",
        new="A new setup",
        button="Save this setup",
        lines={code: line_of(row) for code, row in setups.items()},
        called=lambda code: code_and_name(code, setups[code].name),
        choices={"feeder": feeders} if feeders else {},
        first={"feeding": "robot", "release_height_cm": 25.0},
    )
    show_list_form(desk, form)
    show_saved_lately(desk, "setups")
    tell_cautions()


def line_of(row: ListedSetup) -> Values:
    """The columns of the setups log; the first day of all is an empty one."""
    return asdict(row) | {
        "name": None if row.name == row.setup else row.name,
        "valid_from": None if row.valid_from == FIRST_DAY else row.valid_from,
    }


def show_feeders(desk: Desk) -> None:
    """A feeder, new or changed."""
    st.caption("A machine with the range of its dials, as they are marked. Who feeds by hand needs no line here.")
    feeders = {row.feeder: row for row in questions.listed_feeders(desk)}
    form = ListForm(
        kind="feeders",
        which="Which feeder?",
        new="A new feeder",
        button="Save this feeder",
        lines={code: asdict(row) | {"name": None if row.name == code else row.name} for code, row in feeders.items()},
        called=lambda code: code_and_name(code, feeders[code].name),
    )
    show_list_form(desk, form)
    show_saved_lately(desk, "feeders")


page("Places and feeders", "Where does each feeder stand, from which day on, and which machines are there?", body)
