"""The drawing on which feeder and target are moved: a component of ours in the page, its script served by us."""

from collections.abc import Callable

import streamlit as st

from dashboard.drawings.markup import Markup
from dashboard.drawings.setup import TURN_WORDS_CM, Handles, Scene, scene_drawing
from dashboard.drawings.setup_scene import alternative
from dashboard.views.ours import mounted
from dashboard.words.setup import the_place, the_target
from models.bounds import HALL_BACK_CM, HALL_SIDE_CM
from models.ready import READY_LINE_CM, SHORT_ANGLES_CM
from models.stance import Handedness, Place
from models.table import HALF_WIDTH_CM, NET_X_CM, TABLE_LENGTH_CM

HOW = (
    "To scale, as the player sees it. Drag the feeder or the target; arrow keys move what has the focus, 1 cm, with "
    "Shift 10 cm. The fields do the same. Balls from there come between the broken lines; ◇ is the middle of the "
    "reach, the other definition of ready."
)

_BOUNDS = {
    "feeder": {"least": {"x": HALL_BACK_CM, "y": -HALL_SIDE_CM}, "most": {"x": NET_X_CM - 1, "y": HALL_SIDE_CM}},
    "target": {
        "least": {"x": NET_X_CM + 5, "y": 1 - HALF_WIDTH_CM},
        "most": {"x": TABLE_LENGTH_CM - 1, "y": HALF_WIDTH_CM - 1},
    },
}

Moved = Callable[[str, Place], None]
"""Told what was moved, and where to."""


def board(
    scene: Scene, hand: Handedness, key: str, moved: Moved, *, counts_short: bool, spin: Markup | None = None
) -> None:
    """Show it, and how it is used."""
    handles = Handles(the_place(scene.feeder), the_target(scene.target))
    data = {
        "drawing": scene_drawing(scene, alternative(scene, hand), handles=handles, spin=spin),
        "places": {"feeder": _cm(scene.feeder), "target": _cm(scene.target)},
        "bounds": _BOUNDS,
        "halfWidth": HALF_WIDTH_CM,
        "endLine": TABLE_LENGTH_CM,
        "nearest": NET_X_CM + SHORT_ANGLES_CM if counts_short else TABLE_LENGTH_CM,
        "readyLine": READY_LINE_CM,
        "turnWords": TURN_WORDS_CM,
        "moves": st.session_state.get(f"hl-moves-{key}", 0),
    }

    def told() -> None:
        where = st.session_state[f"hl-aim-{key}"].moved
        if where is not None:
            st.session_state[f"hl-moves-{key}"] = int(where["move"])
            moved(where["who"], Place(float(where["x"]), float(where["y"])))

    with st.container(key=f"hl-board-{key}"):
        mounted("aiming")(key=f"hl-aim-{key}", data=data, on_moved_change=told)
    st.caption(HOW)


def _cm(place: Place) -> dict[str, float]:
    return {"x": round(place.x_cm), "y": round(place.y_cm)}
