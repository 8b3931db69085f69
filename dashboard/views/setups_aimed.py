"""Aim: one feeder and one ball; the drawing on which both are moved, what the head and the dials must be, the arc."""

import streamlit as st

from dashboard import questions
from dashboard.drawings.setup_scene import ready_words, scene_of
from dashboard.drawings.signs import sign
from dashboard.questions import Desk
from dashboard.tables import setup as setup_tables
from dashboard.views.drawn import show
from dashboard.views.page_choices import what_is_this
from dashboard.views.setups_asked import (
    Meeting,
    ask_ball,
    ask_setup_or_place,
    ask_short_angles,
    ask_target,
    ask_who,
    put_feeder,
    put_target,
)
from dashboard.views.setups_board import board
from dashboard.views.setups_saved import offer_to_save_place
from dashboard.views.setups_side import show_the_side
from dashboard.words import setup_figures
from dashboard.words.cautions import IN_SHORT
from dashboard.words.phrases import verbatim
from dashboard.words.setup import aim_sentences
from dashboard.words.setup_definitions import FED_FROM_HERE, of_places
from dashboard.words.setup_dial import dials_for
from dashboard.words.setup_moved import no_such_ball, time_to_react
from models.aimed_ball import Aimed, aimed_ball
from models.bounds import OutOfBounds, check_yaw
from models.feeder_aim import aimed
from models.feeder_setup import FeederSetup
from models.moved_ball import Ball
from models.stance import DEEP_CENTRE, Handedness, Place
from models.typical import TOPSPIN_RPS

MOST_DOUBTFUL = 30
KEY = "stands"


def aim(desk: Desk, setups: list[FeederSetup]) -> None:
    """From where, for whom, to where; then everything that follows from it."""
    left, right = st.columns([10, 9], gap="small")
    with left, st.container(key="hl-card-aim"):
        above, drawn, below = st.container(), st.container(), st.container()
        with above, st.grid(2, min_column_width=200):
            setup = ask_setup_or_place("Where the feeder stands", setups, KEY, fields=below)
            meeting = ask_who(desk)
        target = ask_target(KEY, DEEP_CENTRE)
        counts_short = ask_short_angles(KEY)
    with right:
        figures, from_the_side = st.container(key="hl-card-figures"), st.container(key="hl-card-side")
        with st.container(key="hl-card-ball"):
            ball = ask_ball(meeting.hand, target)
        st.caption(f"{IN_SHORT} What is shown is calculated and no promise where a ball goes.")
        found = aimed_ball(setup, ball)
        scene = scene_of(setup.place, found.target, counts_short=counts_short, second=found.way.second)
        with figures:
            dials, guesses = _dials(desk, setup, found, ball)
            show(setup_tables.figures(setup_figures.figures(scene.turn_deg, found.way, scene.ready, dials)))
            if guesses:
                st.caption(" ".join(guesses))
        with from_the_side:
            tell_the_side(found, ball)
        _tell_in_words(desk, setup, found, ready_words(scene, meeting.hand), meeting)
    with drawn:
        board(scene, meeting.hand, KEY, _put, counts_short=counts_short, spin=sign("spin", ball.spin))
        offer_to_save_place(desk, setup)


def _put(who: str, place: Place) -> None:
    (put_feeder if who == "feeder" else put_target)(KEY, place)


def _dials(desk: Desk, setup: FeederSetup, found: Aimed, ball: Ball) -> tuple[list[str], list[str]]:
    """Where the dials of the feeder that stands there go, as far as they are calibrated."""
    feeders = {row.feeder_id: row for row in questions.feeders(desk)}
    if setup.feeder_id not in feeders:
        return [], []
    speed, spin = (questions.dial_lines(desk, setup.feeder_id, dial) for dial in ("speed", "spin"))
    return dials_for(speed, spin, found.way, TOPSPIN_RPS[ball.spin])


def tell_the_side(found: Aimed, ball: Ball) -> None:
    """The arc over the net, and what the ball is by the physics."""
    st.header("From the side")
    show_the_side(found.way)
    if found.way.sets:
        st.markdown(setup_figures.what_it_is(found.way))
    else:
        st.warning(no_such_ball(ball), icon=":material/warning:")


def _tell_in_words(desk: Desk, setup: FeederSetup, found: Aimed, ready: list[str], meeting: Meeting) -> None:
    """The same in sentences, and what the log says of the head and of balls from there."""
    settings = questions.settings(desk)
    warn_of_yaw(setup)
    with st.expander("In words"):
        first, *others = map(verbatim, aim_sentences(setup, aimed(setup, found.target, meeting.hand, settings)))
        react = [time_to_react(found.way)] if found.way.sets else []
        st.markdown("\n\n".join([f"**{first}**", *ready, *react, *others]))
    with st.popover("What are these numbers?", icon=":material/help:"):
        st.markdown(of_places(settings))
    tell_doubtful(desk, setup, meeting.hand)


def tell_doubtful(desk: Desk, setup: FeederSetup, hand: Handedness) -> None:
    """The balls in the log from there whose length is doubtful by the physics: marked, and kept as they were logged."""
    feeds = questions.feeds_from_setup(desk, str(setup.code), hand)
    doubtful = [feed for feed in feeds if feed.length_verdict == "doubtful"]
    if not doubtful:
        return
    title = f"Of {len(feeds):,} kinds of ball that {hand}-handed players met from there by the log"
    with st.expander(f"{title}, {len(doubtful):,} are of doubtful length"):
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
