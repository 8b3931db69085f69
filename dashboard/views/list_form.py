"""One line of a list at a time: a new one, or one that is there, chosen by its code."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import streamlit as st

from dashboard.questions import Desk
from dashboard.views.frame import refusals_told
from dashboard.views.line_form import Choices, ask_line, send, tell_what_became
from models.records import RECORDS, columns_of


@dataclass(frozen=True)
class ListForm:
    """What the form of a list needs: the lines that are there, by code, and how a line is told."""

    kind: str
    which: str
    new: str
    button: str
    lines: Mapping[str, Mapping[str, Any]]
    called: Callable[[str], str]
    choices: Choices = field(default_factory=dict)
    first: Mapping[str, Any] = field(default_factory=dict)
    """What stands in the fields of a new line."""


def show_list_form(desk: Desk, form: ListForm) -> None:
    """Choose a line, change it, save it."""
    code = st.selectbox(
        form.which,
        [None, *form.lines],
        format_func=lambda code: form.new if code is None else form.called(code),
        key=f"which-{form.kind}",
    )
    key = _key(form.kind, code)
    tell_what_became(key)
    identity, *_ = RECORDS[form.kind].identity
    columns = [column for column in columns_of(RECORDS[form.kind]) if code is None or column.name != identity]
    first = form.lines[code] if code is not None else form.first
    with st.form(f"form-{key}", border=True):
        values = ask_line(key, columns, first, form.choices)
        st.caption("Fields with a star are needed.")
        is_sent = st.form_submit_button(form.button, icon=":material/save:")
    if is_sent:
        with refusals_told():
            line = values if code is None else values | {identity: code}
            send(desk, key, form.kind, [line], taken=form.lines if code is None else ())


def _key(kind: str, code: str | None) -> str:
    return f"{kind}-new" if code is None else f"{kind}-of-{code}"
