"""Setups: where a feeder stands, how it aims, what changes when it moves, and where its player is ready."""

from collections.abc import Callable

import streamlit as st

from dashboard import questions
from dashboard.drawings.setup_scene import ready_words, scene_of
from dashboard.questions import Desk
from dashboard.tables import setup as setup_tables
from dashboard.views.frame import nothing_yet, page, refusals_told, tell_cautions
from dashboard.views.page_choices import what_is_this
from dashboard.views.setups_asked import Meeting, ask_setup, ask_short_angles, ask_target, ask_who, drawing
from dashboard.views.setups_calibrated import calibrate
from dashboard.views.setups_checked import check_balls
from dashboard.views.setups_moved import feeder_moved
from dashboard.words.phrases import verbatim
from dashboard.words.setup import aim_sentences
from dashboard.words.setup_definitions import FED_FROM_HERE, of_places
from models.bounds import OutOfBounds, check_yaw
from models.feeder_aim import aimed
from models.feeder_setup import FeederSetup
from models.settings import Settings
from models.stance import DEEP_CENTRE

MOST_DOUBTFUL = 30

Section = Callable[[Desk, list[FeederSetup]], None]


def body(desk: Desk) -> None:
    """The section that is wanted, then what to mind."""
    setups = [row.feeder_setup for row in questions.setups_now(desk, "right")]
    if not setups:
        nothing_yet("No setups yet.", "A setup says where a feeder stands. Bring in the setups first.")
        return
    section = st.segmented_control("What do you want to know?", list(SECTIONS), default=WHERE, required=True)
    with refusals_told():
        SECTIONS[section](desk, setups)
    tell_cautions()


def where_it_stands(desk: Desk, setups: list[FeederSetup]) -> None:
    """One setup: what its place is to the player, where the head points, and where to be ready."""
    settings = questions.settings(desk)
    meeting = ask_who(desk)
    left, right = st.columns([3, 2], gap="large")
    with left:
        setup = ask_setup("Where the feeder stands", setups, "stands")
        target = ask_target("stands", "Deep centre") or DEEP_CENTRE
        counts_short = ask_short_angles("stands")
        scene = scene_of(setup.place, target, counts_short=counts_short)
        first, *others = map(verbatim, aim_sentences(setup, aimed(setup, target, meeting.hand, settings)))
        st.markdown("\n\n".join([f"**{first}**", *ready_words(scene, meeting.hand), *others]))
        warn_of_yaw(setup)
        define(settings)
    with right:
        drawing(scene, meeting.hand)
    tell_doubtful(desk, setup, meeting)


def tell_doubtful(desk: Desk, setup: FeederSetup, meeting: Meeting) -> None:
    """The balls in the log from there whose length is doubtful by the physics: marked, and kept as they were logged."""
    feeds = questions.feeds_from_setup(desk, str(setup.code), meeting.hand)
    doubtful = [feed for feed in feeds if feed.length_verdict == "doubtful"]
    if not doubtful:
        return
    counted = f"Of {len(feeds):,} kinds of ball that {meeting.hand}-handed players met from there by the log"
    with st.expander(f"{counted}, {len(doubtful):,} are of doubtful length"):
        st.html(setup_tables.feeds(doubtful[:MOST_DOUBTFUL]))
        st.caption(
            f"At most {MOST_DOUBTFUL} are shown. Doubtful: by no calculation can such a ball be so long or so short. "
            "The log keeps the word as it was written; the times are those of a typical ball of these words."
        )
        what_is_this(desk, FED_FROM_HERE)


def warn_of_yaw(setup: FeederSetup) -> None:
    """Mark a head that the log turns past the player's half."""
    if setup.yaw_deg is None:
        return
    try:
        check_yaw(setup.x_cm, setup.y_cm, setup.yaw_deg)
    except OutOfBounds as problem:
        st.warning(verbatim(f"As the log has it: {problem}"), icon=":material/warning:")


def define(settings: Settings) -> None:
    """What the words and numbers mean, one click away."""
    with st.popover("What are these numbers?", icon=":material/help:"):
        st.markdown(of_places(settings))


WHERE = "Where it stands"
SECTIONS: dict[str, Section] = {
    WHERE: where_it_stands,
    "I moved the feeder": feeder_moved,
    "Check balls": check_balls,
    "Calibrate": calibrate,
}

page("Setups", "Where does the feeder stand, how do I aim it, and where is my player ready?", body)
