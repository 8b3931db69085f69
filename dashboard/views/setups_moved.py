"""The feeder was moved: which way to turn the head, what to change for a ball, and where its player stands now."""

from typing import cast

import streamlit as st

from dashboard import questions
from dashboard.drawings.setup_scene import scene_of, stand_now
from dashboard.questions import Desk
from dashboard.tables import setup as setup_tables
from dashboard.views.setups_asked import (
    Meeting,
    ask_setup,
    ask_setup_or_place,
    ask_short_angles,
    ask_target,
    ask_who,
    drawing,
)
from dashboard.words.cautions import IN_SHORT
from dashboard.words.phrases import label, phrase
from dashboard.words.setup import the_target
from dashboard.words.setup_definitions import of_flights
from dashboard.words.setup_dial import dial_sentences
from dashboard.words.setup_moved import (
    advised,
    change_the_speed,
    kind_of_ball,
    lower_and_earlier,
    no_such_ball,
    only_turned,
    time_to_react,
    turn_the_head,
)
from models.bounds import NoSuchFeed
from models.dial_advice import mark_before
from models.feeder_setup import FeederSetup
from models.incoming import Length
from models.moved_ball import Ball, Moved, moved, target_of
from models.stance import Place
from models.words import HEIGHT, LENGTH, PLACEMENT, SIDESPIN, SPIN, WordList

BALL = {SPIN: "backspin", SIDESPIN: "none", LENGTH: "short", PLACEMENT: "backhand", HEIGHT: "low"}
"""What makes a ball, and the one that is there to begin with."""


def feeder_moved(desk: Desk, setups: list[FeederSetup]) -> None:
    """From where to where, which ball; then the answers, the drawing, and the figures behind them."""
    meeting = ask_who(desk)
    asked, shown = st.columns([3, 2], gap="large")
    with asked:
        with st.grid(2, min_column_width=200):
            before = ask_setup("It stood at", setups, "before")
            after = ask_setup_or_place("Now it stands at", setups, "after", first=1)
        ball = ask_ball(meeting)
        advice = _followed(before, after, ball)
        target, counts_short = target_of(before, ball), ask_short_angles("moved")
        scene = scene_of(after.place, target, counts_short=counts_short, before=before.place)
        head = turn_the_head(before.place, after.place, target, ball.sidespin)
        ball_answers = [] if advice is None else [change_the_speed(advice), only_turned(advice)]
        answers = [head, *ball_answers, stand_now(scene, meeting.hand, meeting.who)]
        st.markdown("\n".join(f"1. {answer}" for answer in answers))
        if advice is not None:
            tell_dial(desk, after, advice)
        st.caption(f"The turn holds where the feeder was moved without turning its body. {IN_SHORT}")
        tell_the_ball(advice, ball, target)
    with shown:
        drawing(scene, meeting.hand)
    if advice is not None:
        tell_figures(advice)


def tell_dial(desk: Desk, after: FeederSetup, advice: Moved) -> None:
    """The change of speed on the feeder's own dial, where its landings have calibrated it."""
    feeders = {row.feeder_id: row for row in questions.feeders(desk)}
    found = advised(advice)
    if after.feeder_id not in feeders or found is None:
        return
    feeder = feeders[after.feeder_id]
    lines = questions.dial_lines(desk, feeder.feeder_id, "speed")
    first = mark_before(lines, advice.before)
    if first is None:
        return
    mark = st.number_input(
        f"Where the speed dial of {feeder.name} stood",
        value=round(first, 1),
        step=0.1,
        format="%g",
        key=f"setups-mark-{first:.1f}",
        help="To begin with, the mark at which such a ball would have been fed, by the noted landings.",
    )
    st.markdown(" ".join(dial_sentences(feeder, lines, found[1], mark)))


def _followed(before: FeederSetup, after: FeederSetup, ball: Ball) -> Moved | None:
    """The advice for the ball; None where no calculation has such a ball. Raises OutOfBounds."""
    with st.spinner("Following the ball …"):
        try:
            return moved(before, after, ball)
        except NoSuchFeed:
            return None


def ask_ball(meeting: Meeting) -> Ball:
    """The ball in the words of the log, and another target if one is meant."""
    chosen = [phrase(words.name, st.session_state.get(_key(words), first)) for words, first in BALL.items()]
    with st.expander(f"The ball: {', '.join(chosen)}", key="setups-ball"):
        spin, sidespin, length, placement, height = (_word(words, first) for words, first in BALL.items())
        target = ask_target("moved", "Where the words say")
    return Ball(meeting.hand, spin, cast(Length, length), placement, height, target, sidespin)


def tell_the_ball(advice: Moved | None, ball: Ball, target: Place) -> None:
    """Where it lands, how it comes, how long it is by the physics; a doubtful word is marked."""
    if advice is None:
        st.warning(no_such_ball(ball), icon=":material/warning:")
        return
    st.markdown(" ".join(filter(None, (f"It lands {the_target(target)}.", lower_and_earlier(advice)))))
    kind = " ".join(kind_of_ball(advice, ball))
    if advice.verdict == "doubtful":
        st.warning(kind, icon=":material/warning:")
    else:
        st.markdown(kind)


def tell_figures(advice: Moved) -> None:
    """Each way to play the ball, and its times."""
    st.header("What you may change")
    st.html(setup_tables.ways(advice))
    st.header("How long the player has")
    found = advised(advice)
    st.markdown(time_to_react(found[1] if found else advice.before))
    st.html(setup_tables.times(advice))
    st.caption("A range: where the calculations of flight and bounce disagree. Without a range they agree.")
    with st.popover("What are these numbers?", icon=":material/help:"):
        st.markdown(of_flights())


def _word(words: WordList, first: str) -> str:
    return st.pills(
        words.name.capitalize(), words.names, default=first, format_func=label, key=_key(words), required=True
    )


def _key(words: WordList) -> str:
    return f"setups-ball-{words.name}"
