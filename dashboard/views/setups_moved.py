"""The feeder was moved: which way to turn the head, what to change for a ball, and where its player stands now."""

import streamlit as st

from dashboard import questions
from dashboard.drawings.setup_scene import scene_of, stand_now
from dashboard.questions import Desk
from dashboard.tables import setup as setup_tables
from dashboard.views.setups_asked import (
    ask_ball,
    ask_setup,
    ask_setup_or_place,
    ask_short_angles,
    ask_target,
    ask_who,
    put_feeder,
    put_target,
)
from dashboard.views.setups_board import board
from dashboard.views.setups_side import show_the_side
from dashboard.words.cautions import IN_SHORT
from dashboard.words.setup import the_target
from dashboard.words.setup_definitions import of_flights
from dashboard.words.setup_dial import dial_sentences
from dashboard.words.setup_moved import (
    advised,
    change_the_dial,
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
from models.moved_ball import Ball, Moved, Way, moved, target_of
from models.stance import Place

KEY, BEFORE, AFTER = "moved", "before", "after"


def feeder_moved(desk: Desk, setups: list[FeederSetup]) -> None:
    """From where to where, which ball; then the answers, the drawings, and the figures behind them."""
    left, right = st.columns([10, 9], gap="small")
    with left, st.container(key="hl-card-moved"):
        above, drawn, below = st.container(), st.container(), st.container()
        with above, st.grid(3, min_column_width=160):
            before = ask_setup("It stood at", setups, BEFORE)
            after = ask_setup_or_place("Now it stands at", setups, AFTER, first=1, fields=below)
            meeting = ask_who(desk)
        own_target, counts_short = ask_target(KEY), ask_short_angles(KEY)
    with right:
        answered, from_the_side = st.container(key="hl-card-answers"), st.container(key="hl-card-side")
        with st.container(key="hl-card-ball"):
            ball = ask_ball(meeting.hand, own_target)
        advice = _followed(before, after, ball)
        target, second = target_of(before, ball), _second(advice)
        scene = scene_of(after.place, target, counts_short=counts_short, before=before.place, second=second)
        head = turn_the_head(before.place, after.place, target, ball.sidespin)
        with answered:
            change = _speed_and_net(desk, after, advice)
            answers = [head, *change, stand_now(scene, meeting.hand, meeting.who)]
            st.markdown("\n".join(f"1. {answer}" for answer in answers))
            st.caption(f"The turn holds where the feeder was moved without turning its body. {IN_SHORT}")
        with from_the_side:
            tell_the_ball(advice, ball, target)
    with drawn:
        board(scene, meeting.hand, KEY, _put, counts_short=counts_short)
    if advice is not None:
        tell_figures(advice)


def _put(who: str, place: Place) -> None:
    if who == "feeder":
        put_feeder(AFTER, place)
    else:
        put_target(KEY, place)


def _way_now(advice: Moved) -> Way:
    found = advised(advice)
    return found[1] if found else advice.keep_both


def _second(advice: Moved | None) -> Place | None:
    return None if advice is None else _way_now(advice).second


def _speed_and_net(desk: Desk, after: FeederSetup, advice: Moved | None) -> list[str]:
    """What to change of speed and tilt, on the feeder's own dial where it is calibrated; then what if nothing is."""
    if advice is None:
        return []
    dial = _on_the_dial(desk, after, advice)
    return [change_the_dial(advice, dial) if dial else change_the_speed(advice), only_turned(advice)]


def _on_the_dial(desk: Desk, after: FeederSetup, advice: Moved) -> list[str]:
    """The change of speed on the feeder's own dial, where its landings have calibrated it."""
    feeders = {row.feeder_id: row for row in questions.feeders(desk)}
    found = advised(advice)
    if after.feeder_id not in feeders or found is None:
        return []
    feeder = feeders[after.feeder_id]
    lines = questions.dial_lines(desk, feeder.feeder_id, "speed")
    first = mark_before(lines, advice.before)
    if first is None:
        return []
    mark = st.number_input(
        f"Where the speed dial of {feeder.name} stood",
        value=round(first, 1),
        step=0.1,
        format="%g",
        key=f"setups-mark-{first:.1f}",
        help="To begin with, the mark at which such a ball would have been fed, by the noted landings.",
    )
    return dial_sentences(feeder, lines, found[1], mark)


def _followed(before: FeederSetup, after: FeederSetup, ball: Ball) -> Moved | None:
    """The advice for the ball; None where no calculation has such a ball. Raises OutOfBounds."""
    with st.spinner("Following the ball …"):
        try:
            return moved(before, after, ball)
        except NoSuchFeed:
            return None


def tell_the_ball(advice: Moved | None, ball: Ball, target: Place) -> None:
    """The arcs before and after, where it lands, how it comes, how long it is; a doubtful word is marked."""
    st.header("From the side, before and after")
    if advice is None:
        st.warning(no_such_ball(ball), icon=":material/warning:")
        return
    show_the_side(_way_now(advice), advice.before.path_cm)
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
