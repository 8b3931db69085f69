"""What the sections of the Setups page ask for: the player, a setup, a place, a target; and the drawing they share."""

from dataclasses import dataclass
from typing import cast

import streamlit as st

from dashboard import questions
from dashboard.drawings.setup import Scene, drawn, legend
from dashboard.drawings.setup_scene import alternative
from dashboard.questions import Desk
from dashboard.words.phrases import verbatim
from dashboard.words.setup import called
from models.bounds import check_release, check_target
from models.feeder_setup import FeederSetup
from models.stance import Handedness, Place
from models.table import NET_X_CM
from models.typical import RELEASE_HEIGHT_CM

ANOTHER_PLACE = "Another place …"


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


def ask_setup_or_place(question: str, setups: list[FeederSetup], key: str, *, first: int = 0) -> FeederSetup:
    """One of the setups of the log, or a place typed in. Raises FeederBeyondHall, FeederPastNet, LaunchOutOfReach."""
    choices: list[FeederSetup | str] = [*setups, ANOTHER_PLACE]
    index = min(first, len(setups) - 1)
    choice = st.selectbox(question, choices, index=index, format_func=_choice_text, key=f"setups-{key}")
    if isinstance(choice, FeederSetup):
        return choice
    with st.grid(3, min_column_width=150):
        x_cm = _ask_cm("In front of its end line (cm)", -20.0, f"{key}-x", "Behind the end line is minus.")
        y_cm = _ask_cm("To the player's right (cm)", 0.0, f"{key}-y", "To the player's left is minus.")
        height_cm = _ask_cm(
            "Ball leaves above the table (cm)", RELEASE_HEIGHT_CM, f"{key}-height", "From the table's surface."
        )
    check_release(x_cm, y_cm, height_cm)
    return FeederSetup(x_cm, y_cm, height_cm)


def ask_target(key: str, usual_name: str) -> Place | None:
    """A target of one's own; None for the usual one. Raises TargetOffTable."""
    choices = [usual_name, ANOTHER_PLACE]
    if st.segmented_control("Target", choices, default=usual_name, required=True, key=f"setups-{key}-target") != (
        ANOTHER_PLACE
    ):
        return None
    with st.grid(2, min_column_width=150):
        behind_cm = _ask_cm("Behind the net (cm)", 35.0, f"{key}-behind", "The player's end line is 137 cm behind it.")
        y_cm = _ask_cm("To the player's right (cm)", 0.0, f"{key}-beside", "To the player's left is minus.")
    target = Place(NET_X_CM + behind_cm, y_cm)
    check_target(target.x_cm, target.y_cm)
    return target


def ask_short_angles(key: str) -> bool:
    """Whether balls to short angles count for the cone."""
    return st.toggle("Count short angles too", key=f"setups-{key}-short", help="They open the cone wider.")


def drawing(scene: Scene, hand: Handedness) -> None:
    """The table from above, to scale, and what its signs mean."""
    signs = [("■", "feeder"), ("✕", "target"), ("●", "ready position"), ("◇", "middle of the reach"), ("╌", "cone")]
    moved = [] if scene.before is None else [("▢", "where it stood"), ("◌", "ready before")]
    st.html(drawn(scene, alternative(scene, hand)) + legend([*signs, *moved]))
    st.caption("To scale, from above, as the player sees it: the player is below.")


def _choice_text(choice: FeederSetup | str) -> str:
    return choice if isinstance(choice, str) else called(choice)


def _ask_cm(question: str, first: float, key: str, hint: str) -> float:
    return st.number_input(question, value=first, step=5.0, format="%g", key=f"setups-{key}", help=hint)
