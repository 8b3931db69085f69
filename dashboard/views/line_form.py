"""A form for one line of a list: its columns as fields, and below each what was refused about it.

What was typed stays until it is saved: a field has the same key until then.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import Any

import streamlit as st

from dashboard.questions import Desk
from dashboard.services import lists
from dashboard.views.fields import ask
from dashboard.views.refusals import counted, in_words, under_way
from ingest.club_day import today
from ingest.problems import Refusal
from ingest.written_lines import asked_as
from models.records import RECORDS, Column

Values = dict[str, Any]
Choices = Mapping[str, Mapping[str, str]]
"""For columns whose values the club knows: each value as it is told."""

FIRST_LINE = 2
"""The line of a file in which the first of some lines stands: the header comes before it."""

_TOLD, _ROUNDS = "form-told", "form-rounds"


def ask_line(form: str, columns: Iterable[Column], first: Mapping[str, Any], choices: Choices) -> Values:
    """Ask for every column, in its order; what is there to begin with, and what was refused below its field."""
    values: Values = {}
    with st.grid(min_column_width=210):
        for column in columns:
            with st.container():
                values[column.name] = _ask_one(form, column, first.get(column.name), choices.get(column.name))
                for fault in faults(form):
                    if fault.column == column.name:
                        st.error(in_words(fault), icon=":material/error:")
    return values


def _ask_one(form: str, column: Column, first: Any, choices: Mapping[str, str] | None) -> Any:
    key = f"{form}-{column.name}-{rounds()}"
    if choices is None:
        return ask(column.shape, column, key, first)
    codes = list(choices)
    return st.selectbox(
        asked_as(column),
        codes,
        index=codes.index(first) if first in choices else None,
        format_func=lambda code: choices.get(code, code),
        key=key,
        help=column.help,
        placeholder="Pick one, or type a new one",
        accept_new_options=True,
    )


def send(desk: Desk, form: str, kind: str, lines: Sequence[Mapping[str, Any]], *, taken: Collection[str] = ()) -> None:
    """Save the lines, all or none; where one is refused the form stays as it is, with what is wrong. Draws anew.

    `taken`: codes that are there already, where each line is to be a new one.
    """
    if again := there_already(kind, lines, taken):
        st.session_state[f"faults-{form}"] = again
        st.rerun()
    with under_way("Saving, and making the figures anew …") as say:
        report = lists.save(desk, kind, lines, today=today(), say=say)
    st.session_state[f"faults-{form}"] = report.refusals
    if not report.refusals:
        begin_anew(_what_became(report.batch, report.lines_accepted))
    st.rerun()


def there_already(kind: str, lines: Iterable[Mapping[str, Any]], taken: Collection[str]) -> tuple[Refusal, ...]:
    """A new line must not take the place of one that is there only because it was given the same code."""
    code = RECORDS[kind].identity[0]
    expected, to_do = "a code that is not there yet", "give it another code, or change the one that is there"
    return tuple(
        Refusal(kind, number, code, line[code], expected, to_do)
        for number, line in enumerate(lines, start=FIRST_LINE)
        if line[code] in taken
    )


def begin_anew(told: str) -> None:
    """Fields begin with what the log says now; on the page stands what was done."""
    st.session_state[_ROUNDS] = rounds() + 1
    st.session_state[_TOLD] = told


def _what_became(batch: int | None, lines: int) -> str:
    if batch is None:
        return "Everything is in the log already, just as written. Nothing has changed."
    return f"Saved: {counted(lines, 'line')}, as batch {batch}. It can be taken back below."


def tell_what_became(form: str) -> None:
    """What became of what was sent last, and what was refused about no field in particular."""
    if sentence := st.session_state.pop(_TOLD, None):
        st.success(sentence, icon=":material/check_circle:")
    if faults(form):
        st.error("Nothing is saved yet: what is wrong stands below its field.", icon=":material/error:")
    for fault in faults(form):
        if fault.column is None:
            st.error(in_words(fault), icon=":material/error:")


def faults(form: str) -> tuple[Refusal, ...]:
    """What was refused when the form was last sent."""
    found: tuple[Refusal, ...] = st.session_state.get(f"faults-{form}", ())
    return found


def rounds() -> int:
    """How often something was saved or taken back here: a new number gives new fields."""
    return int(st.session_state.get(_ROUNDS, 0))
