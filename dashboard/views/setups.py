"""Setups: where a feeder stands, how it aims, what changes when it moves, and where its player is ready."""

from collections.abc import Callable

import streamlit as st

from dashboard import questions
from dashboard.questions import Desk
from dashboard.views.frame import nothing_yet, page, refusals_told, tell_cautions
from dashboard.views.setups_aimed import aim
from dashboard.views.setups_calibrated import calibrate
from dashboard.views.setups_checked import check_balls
from dashboard.views.setups_moved import feeder_moved
from models.feeder_setup import FeederSetup

Section = Callable[[Desk, list[FeederSetup]], None]


def body(desk: Desk) -> None:
    """The section that is wanted, then what to mind."""
    setups = [row.feeder_setup for row in questions.setups_now(desk, "right")]
    if not setups:
        nothing_yet("No setups yet.", "A setup says where a feeder stands. Bring in the setups first.")
        return
    section = st.segmented_control("What do you want to know?", list(SECTIONS), default=AIM, required=True)
    with refusals_told():
        SECTIONS[section](desk, setups)
    tell_cautions()


AIM = "Aim"
SECTIONS: dict[str, Section] = {
    AIM: aim,
    "I moved the feeder": feeder_moved,
    "Check balls": check_balls,
    "Calibrate": calibrate,
}

page("Setups", "Where does the feeder stand, how do I aim it, and where is my player ready?", body)
