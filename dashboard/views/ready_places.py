"""Ready-made places of feeders, picked beside their drawing and saved as setups."""

import streamlit as st

from dashboard import questions
from dashboard.drawings.ready_places import places_drawing
from dashboard.questions import Desk
from dashboard.views.drawn import show
from dashboard.views.frame import refusals_told
from dashboard.views.line_form import rounds, send
from dashboard.views.refusals import counted
from dashboard.words.phrases import listed
from models.ready_places import READY_PLACES
from models.words import DEPTH, SIDE

FORM = "setups-ready"
WIDTH = 250.0


def pick_places(desk: Desk) -> None:
    """Pick some of the nine, see them on the table, save them."""
    there = {row.setup for row in questions.listed_setups(desk)}
    drawn, asked = st.columns([2, 3])
    with asked:
        picked = [code for depth in DEPTH.names for code in _ask_row(depth)]
        new = [code for code in picked if code not in there]
        if st.button(f"Save {counted(len(new), 'place')}", icon=":material/save:", type="primary", disabled=not new):
            with refusals_told():
                send(desk, FORM, "setups", [_line(code) for code in new])
        st.caption(
            "Sides are those of a right-hander; for a left-hander the same place is told the other way round. Places "
            "can be moved and named later, on the page Places and feeders."
        )
    with drawn:
        places = {code: (place.x_cm, place.y_cm) for code, place in READY_PLACES.items()}
        show(places_drawing(places, {*picked, *there}, WIDTH, _in_words([*there, *picked])))


def _ask_row(depth: str) -> list[str]:
    codes = [f"{depth[0]}{side[0]}".upper() for side in reversed(SIDE.names)]
    return st.pills(
        depth.capitalize(),
        codes,
        selection_mode="multi",
        format_func=lambda code: f"{READY_PLACES[code].side} ({code})",
        key=f"{FORM}-{depth}-{rounds()}",
    )


def _line(code: str) -> dict[str, object]:
    place = READY_PLACES[code]
    return {"setup": code, "name": place.name, "feeding": "robot", "x_cm": place.x_cm, "y_cm": place.y_cm}


def _in_words(picked: list[str]) -> str:
    names = [READY_PLACES[code].name for code in READY_PLACES if code in picked]
    return f"The table from above; picked: {listed(names) if names else 'no place yet'}"
