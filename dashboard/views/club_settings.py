"""Settings: each with its meaning, what a change would change, and the changes that were made."""

from collections.abc import Mapping
from typing import Any

import streamlit as st

from dashboard import questions
from dashboard.questions import Desk
from dashboard.services import settings_changed
from dashboard.views.fields_of_settings import ask_setting
from dashboard.views.frame import page, refusals_told
from dashboard.views.line_form import begin_anew, rounds, tell_what_became
from dashboard.views.refusals import under_way
from dashboard.views.settings_changes import show_changes
from dashboard.words.phrases import verbatim
from dashboard.words.settings_groups import GROUPS, setting_called
from models.settings import Settings
from sql.settings_file import SettingsRefused, checked

TRIED = "settings-tried"


def body(desk: Desk) -> None:
    """The settings by group; what is changed; saving it; what was changed lately."""
    tell_what_became("settings")
    st.caption(
        "Thresholds have no published basis: they are the club's own choice, and count for all weeks as they are now."
    )
    now = desk.folder.settings()
    faults: dict[str, str] = st.session_state.get("settings-faults", {})
    values: dict[str, Any] = {}
    for group, names in GROUPS.items():
        with st.expander(group, expanded=any(name in faults for name in names)), st.grid(min_column_width=260):
            for name in names:
                values[name] = ask_setting(name, getattr(now, name), f"setting-{name}-{rounds()}", faults.get(name))
    changed = {name: value for name, value in values.items() if value != getattr(now, name)}
    with refusals_told():
        offer_to_save(desk, now, changed)
    with refusals_told():
        show_changes(desk)


def offer_to_save(desk: Desk, now: Settings, changed: Mapping[str, Any]) -> None:
    """What is changed, what of the figures would change with it, and saving it."""
    if not changed:
        st.caption("Nothing is changed yet.")
        return
    told = [f"- {setting_called(name)}: {getattr(now, name)} → {value}" for name, value in changed.items()]
    st.markdown("\n".join(["**Not saved yet:**", "", *map(_as_item, told)]))
    with st.container(horizontal=True):
        is_tried = st.button("Show what changes", icon=":material/compare_arrows:")
        is_meant = st.button("Save these settings", icon=":material/save:", type="primary")
    if (is_tried or is_meant) and not is_sound(now, changed):
        st.rerun()
    if is_tried:
        with under_way("Making the figures with these settings, beside those in force …") as say:
            st.session_state[TRIED] = dict(changed), settings_changed.rows_changed(desk, changed, say=say)
    if is_meant:
        with under_way("Saving, and making the figures anew …") as say:
            number = settings_changed.change(desk, changed, say=say)
        begin_anew(f"Saved, as change {number}. It can be taken back below.")
        st.rerun()
    tell_tried(desk, changed)


def _as_item(told: str) -> str:
    return f"- {verbatim(told.removeprefix('- '))}"


def is_sound(now: Settings, changed: Mapping[str, Any]) -> bool:
    """The values can be settings; what is wrong with them is told below their fields."""
    try:
        checked(now.model_dump(), changed)
    except SettingsRefused as problem:
        st.session_state["settings-faults"] = problem.faults
        return False
    st.session_state.pop("settings-faults", None)
    return True


def tell_tried(desk: Desk, changed: Mapping[str, Any]) -> None:
    """How much of each report would be another."""
    tried = st.session_state.get(TRIED)
    if tried is None or tried[0] != changed:
        return
    if not tried[1]:
        st.info("No figure on any page changes with it.", icon=":material/equal:")
        return
    rows = [{"What changes": _title(desk, table), "Figures": count} for table, count in tried[1].items()]
    st.dataframe(rows, hide_index=True, alt="The reports that would change, each with how many of its rows")


def _title(desk: Desk, table: str) -> str:
    first_line = questions.about(desk, table).split("\n")[0]
    return first_line.split(": one row")[0].split(". ")[0].rstrip(".:")


page("Settings", "What does the club count as enough, as near, as a trend; and what would another choice change?", body)
