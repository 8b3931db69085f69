"""What the sections of the Setups page ask for: the player, a setup, a place, a target, a ball.

The fields are what counts: whoever drags on the drawing sets them.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import cast

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from dashboard import questions
from dashboard.questions import Desk
from dashboard.words.phrases import label, phrase, verbatim
from dashboard.words.setup import called
from models.bounds import check_release, check_target
from models.feeder_setup import FeederSetup
from models.incoming import Length
from models.moved_ball import Ball
from models.stance import Handedness, Place
from models.table import NET_X_CM
from models.typical import RELEASE_HEIGHT_CM
from models.words import HEIGHT, LENGTH, PLACEMENT, SIDESPIN, SPIN, WordList

ANOTHER_PLACE, AS_SAID, DEEP = "Another place …", "Where the words say", "Deep centre"

BALL = {SPIN: "backspin", SIDESPIN: "none", LENGTH: "short", PLACEMENT: "backhand", HEIGHT: "low"}
"""What makes a ball, and the one that is there to begin with."""


@dataclass(frozen=True)
class Meeting:
    """Who meets the balls: the playing hand, and the name for a sentence."""

    hand: Handedness
    who: str


def ask_who(desk: Desk) -> Meeting:
    """The player, or only the hand."""
    players = questions.players(desk)
    hands = {f"Any {hand}-handed player": Meeting(hand, f"Your {hand}-handed player") for hand in _HANDS}
    named = {f"{row.name} · {row.handedness}-handed": Meeting(row.handedness, verbatim(row.name)) for row in players}
    choices = hands | named
    return choices[st.selectbox("Who meets the balls", list(choices), key="setups-who")]


_HANDS = cast(tuple[Handedness, ...], ("right", "left"))


def ask_setup(question: str, setups: list[FeederSetup], key: str) -> FeederSetup:
    """One of the setups of the log."""
    return st.selectbox(question, setups, format_func=called, key=f"setups-{key}")


def ask_setup_or_place(
    question: str, setups: list[FeederSetup], key: str, *, first: int = 0, fields: DeltaGenerator | None = None
) -> FeederSetup:
    """One of the setups of the log, or a place typed in. Raises FeederBeyondHall, FeederPastNet, LaunchOutOfReach.

    `fields`: where the place is typed in; right here where it is not given.
    """
    choices: list[FeederSetup | str] = [*setups, ANOTHER_PLACE]
    st.session_state.setdefault(f"setups-{key}", setups[min(first, len(setups) - 1)])
    choice = st.selectbox(question, choices, format_func=_choice_text, key=f"setups-{key}")
    if isinstance(choice, FeederSetup):
        st.session_state[f"setups-{key}-from"] = choice
        return choice
    with fields or st.container(), st.grid(3, min_column_width=150):
        x_cm = _ask_cm("In front of its end line (cm)", -20.0, f"{key}-x", "Behind the end line is minus.")
        y_cm = _ask_cm("To the player's right (cm)", 0.0, f"{key}-y", "To the player's left is minus.")
        height_cm = _ask_cm(
            "Ball leaves above the table (cm)", RELEASE_HEIGHT_CM, f"{key}-height", "From the table's surface."
        )
    check_release(x_cm, y_cm, height_cm)
    moved_from = st.session_state.get(f"setups-{key}-from")
    return FeederSetup(x_cm, y_cm, height_cm, feeder_id=moved_from.feeder_id if moved_from else None)


def put_feeder(key: str, place: Place) -> None:
    """Set the fields of a feeder that was dragged: it is another place now, at the height at which it stood."""
    before = st.session_state[f"setups-{key}"]
    if isinstance(before, FeederSetup):
        st.session_state[f"setups-{key}-height"] = before.height_cm
    _set(key, {"": ANOTHER_PLACE, "-x": place.x_cm, "-y": place.y_cm})


def put_target(key: str, place: Place) -> None:
    """Set the fields of a target that was dragged."""
    _set(key, {"-target": ANOTHER_PLACE, "-behind": place.x_cm - NET_X_CM, "-beside": place.y_cm})


def _set(key: str, fields: Mapping[str, str | float]) -> None:
    for name, value in fields.items():
        st.session_state[f"setups-{key}{name}"] = value


def ask_target(key: str, deep_centre: Place | None = None) -> Place | None:
    """A target of one's own; None for where the words of the ball say. Raises TargetOffTable."""
    choices = [AS_SAID, *([DEEP] if deep_centre else []), ANOTHER_PLACE]
    st.session_state.setdefault(f"setups-{key}-target", AS_SAID)
    choice = st.segmented_control("Target", choices, required=True, key=f"setups-{key}-target")
    if choice != ANOTHER_PLACE:
        return deep_centre if choice == DEEP else None
    with st.grid(2, min_column_width=150):
        behind_cm = _ask_cm("Behind the net (cm)", 35.0, f"{key}-behind", "The player's end line is 137 cm behind it.")
        y_cm = _ask_cm("To the player's right (cm)", 0.0, f"{key}-beside", "To the player's left is minus.")
    target = Place(NET_X_CM + behind_cm, y_cm)
    check_target(target.x_cm, target.y_cm)
    return target


def ask_short_angles(key: str) -> bool:
    """Whether balls to short angles count for the cone."""
    return st.toggle("Count short angles too", key=f"setups-{key}-short", help="They open the cone wider.")


def ask_ball(hand: Handedness, target: Place | None) -> Ball:
    """The ball in the words of the log."""
    spin, length = (_word(words) for words in (SPIN, LENGTH))
    others = (SIDESPIN, PLACEMENT, HEIGHT)
    chosen = [phrase(words.name, st.session_state.get(_key(words), BALL[words])) for words in others]
    with st.expander(f"And: {', '.join(chosen)}", key="setups-ball"):
        sidespin, placement, height = (_word(words) for words in others)
    return Ball(hand, spin, cast(Length, length), placement, height, target, sidespin)


def _word(words: WordList) -> str:
    return st.pills(
        words.name.capitalize(),
        words.names,
        default=BALL[words],
        format_func=label,
        key=_key(words),
        required=True,
    )


def _key(words: WordList) -> str:
    return f"setups-ball-{words.name}"


def _choice_text(choice: FeederSetup | str) -> str:
    return choice if isinstance(choice, str) else called(choice)


def _ask_cm(question: str, first: float, key: str, hint: str) -> float:
    st.session_state.setdefault(f"setups-{key}", first)
    return st.number_input(question, step=5.0, format="%g", key=f"setups-{key}", help=hint)
