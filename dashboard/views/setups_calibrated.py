"""Calibrate a feeder: what its dials give by its noted landings, and noting more of them."""

from collections.abc import Mapping
from itertools import groupby
from typing import Any

import streamlit as st

from dashboard import questions
from dashboard.questions import Desk
from dashboard.rows.feeding import FeederRow
from dashboard.services.logs import load
from dashboard.tables import setup as setup_tables
from dashboard.views.fields import ask
from dashboard.views.frame import refusals_told
from dashboard.views.page_choices import what_is_this
from dashboard.views.refusals import under_way
from dashboard.views.setups_asked import ask_setup
from dashboard.words.cautions import IN_SHORT
from dashboard.words.phrases import balls, verbatim
from dashboard.words.setup_definitions import DIALS
from dashboard.words.setup_dial import what_a_mark_does
from ingest.club_day import now, today
from ingest.loading import check
from ingest.written_landings import COLUMNS, as_landings_file
from models.feeder_setup import FeederSetup
from models.landing_notes import landings_noted

SETTING = ("release_height_cm", "elevation_deg", "speed_setting", "spin_setting")
KNOWN_OTHERWISE = ("topspin_rps", "speed_mps", "note")

HOW = (
    "Set the speed dial, play a few single balls without spin, and note where each first met the table: how many cm "
    "beside the centre line and on which side as the player sees it, then **how far before the player's end line**. Do "
    "the same at another mark or two. Balls with spin calibrate the spin dial, once the speed dial is known."
)


def calibrate(desk: Desk, setups: list[FeederSetup]) -> None:
    """One feeder: what its dials give, then noting where balls landed."""
    feeders = {row.feeder_id: row for row in questions.feeders(desk)}
    if not feeders:
        st.info(
            "No feeder is in the log yet. `halflong template feeders` prints a file to fill in, one line for each "
            "machine; bring it in like any log.",
            icon=":material/info:",
        )
        return
    chosen = st.selectbox("Feeder", list(feeders), format_func=lambda code: _called(feeders[code]), key="setups-feeder")
    tell_dials(desk, chosen)
    note_landings(desk, feeders[chosen], setups)


def tell_dials(desk: Desk, feeder_id: str) -> None:
    """What one mark of each dial adds, what the noted marks give, and by which calculation."""
    dials = questions.dial_calibrations(desk, feeder_id)
    if not dials:
        st.markdown("**Not calibrated**: no landing of this feeder is noted yet.")
        return
    for dial, rows in groupby(dials, key=lambda row: row.dial):
        st.markdown(what_a_mark_does(dial, list(rows)))
        if lines := questions.dial_lines(desk, feeder_id, dial):
            st.html(setup_tables.marks_of_dial(dial, list(lines.values())))
    st.caption("Range: that of the balls and of the calculations together. Of spin, minus is backspin.")
    what_is_this(desk, DIALS)


def note_landings(desk: Desk, feeder: FeederRow, setups: list[FeederSetup]) -> None:
    """A form for the balls of one setting; what is wrong is told below it."""
    st.header("Note where balls landed")
    st.markdown(HOW)
    st.caption(IN_SHORT)
    if sentence := st.session_state.pop("landings_told", None):
        st.success(sentence, icon=":material/check_circle:")
    with st.form("landings", border=True):
        setup = ask_setup("Where the feeder stands", setups, "noted-at")
        shared = {"feeder": feeder.feeder_id, "setup": setup.code, "noted_on": _ask("noted_on", today())}
        first = {"release_height_cm": setup.height_cm}
        with st.grid(4, min_column_width=150):
            shared |= {name: _ask(name, first.get(name)) for name in SETTING}
        with st.expander("Spin or speed that is known otherwise"):
            shared |= {name: _ask(name, None) for name in KNOWN_OTHERWISE}
        notes = st.text_area("Where the balls landed *", key="setups-landings", placeholder="5 left, 45\n2 right, 52")
        is_sent = st.form_submit_button("Save these balls", icon=":material/save:")
    if is_sent:
        with refusals_told():
            _save(desk, shared, notes)


def _save(desk: Desk, shared: Mapping[str, Any], notes: str) -> None:
    """Hold the balls to the rules of a file; save them, or say what is wrong."""
    landings = landings_noted(notes, with_depth=True)
    if not landings:
        st.error("Nothing is noted yet: write where at least one ball landed.", icon=":material/error:")
        return
    day = shared["noted_on"] or today()
    first_ball = questions.next_landing(desk, shared["feeder"], day)
    file = as_landings_file(shared, landings, first_ball, now())
    with under_way("Screening the balls …") as say:
        (report,) = check(desk.folder, [file], today=today(), say=say)
    if not report.is_sound:
        faults = {(fault.column, fault.seen): fault for fault in report.refusals}.values()
        for fault in faults:
            line = f"{fault.column or 'The line'}: saw “{fault.seen}”, expected {fault.expected}. To do: {fault.to_do}."
            st.error(verbatim(line), icon=":material/error:")
        return
    with under_way("Saving, and making the figures anew …") as say:
        (report,) = load(desk.folder, [file], desk.reader, today=today(), say=say)
    st.session_state["landings_told"] = f"{balls(len(landings))} noted, as batch {report.batch}."
    st.rerun()


def _ask(name: str, first: Any) -> Any:
    column = COLUMNS[name]
    return ask(column.shape, column, f"setups-landing-{name}", first)


def _called(feeder: FeederRow) -> str:
    return feeder.name if feeder.name == feeder.feeder_id else f"{feeder.name} ({feeder.feeder_id})"
