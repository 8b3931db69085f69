"""One field for each setting, with what it means, and below it what is wrong with what was typed."""

from typing import Any

import streamlit as st

from dashboard.words.phrases import verbatim
from dashboard.words.settings_groups import setting_called
from models.settings import Settings


def ask_setting(name: str, now: Any, key: str, fault: str | None) -> Any:
    """Ask for a setting; the value in force stands there to begin with."""
    with st.container():
        value = _ask(name, now, key)
        st.caption(verbatim(_meaning(name)))
        if fault:
            st.error(verbatim(fault), icon=":material/error:")
    return value


def _ask(name: str, now: Any, key: str) -> Any:
    called = setting_called(name)
    if name == "club_colour":
        return st.color_picker(called, now, key=key)
    if isinstance(now, bool):
        return st.toggle(called, now, key=key)
    if isinstance(now, int):
        return st.number_input(called, value=now, step=1, key=key)
    if isinstance(now, float):
        return st.number_input(called, value=now, step=0.05 if now < 2 else 1.0, format="%g", key=key)
    return st.text_input(called, now, key=key)


def _meaning(name: str) -> str:
    meaning = Settings.model_fields[name].description or ""
    begun_with = Settings.model_fields[name].default
    return f"{meaning[:1].upper()}{meaning[1:]}. To begin with: {begun_with if begun_with != '' else 'empty'}."
