"""One field of a form for each shape that a column of a log may have."""

from functools import singledispatch
from typing import Any

import streamlit as st

from dashboard.words.phrases import label
from ingest.written_lines import asked_as
from models.records import Column
from models.shapes import Day, Number, OneOf, Text, WholeNumber, YesOrNo


@singledispatch
def ask(shape: Any, column: Column, key: str, first: Any) -> Any:  # noqa: ARG001 - what each field below needs
    """Ask for a value of the column; `first` stands there to begin with. Bounds are left to the screening to tell."""
    raise TypeError(f"no field for {type(shape).__name__}, the shape of column {column.name}")


@ask.register
def _(shape: Day, column: Column, key: str, first: Any) -> Any:
    return st.date_input(
        asked_as(column), first, shape.earliest, shape.latest, key=key, help=column.help, format="YYYY-MM-DD"
    )


@ask.register
def _(_: YesOrNo, column: Column, key: str, first: Any) -> Any:
    answers = {True: "yes", False: "no"}
    return st.pills(
        asked_as(column), list(answers), default=first, format_func=answers.__getitem__, key=key, help=column.help
    )


@ask.register
def _(_: WholeNumber, column: Column, key: str, first: Any) -> Any:
    return st.number_input(asked_as(column), value=first, step=1, key=key, help=column.help)


@ask.register
def _(_: Number, column: Column, key: str, first: Any) -> Any:
    return st.number_input(asked_as(column), value=first, step=0.5, format="%g", key=key, help=column.help)


@ask.register
def _(shape: OneOf, column: Column, key: str, first: Any) -> Any:
    meanings = "\n".join(f"- {label(word.name)}: {word.meaning}" for word in shape.words.words)
    help_text = f"{column.help}:\n\n{meanings}"
    return st.pills(asked_as(column), shape.words.names, default=first, format_func=label, key=key, help=help_text)


@ask.register
def _(_: Text, column: Column, key: str, first: Any) -> Any:
    return st.text_input(asked_as(column), first, key=key, help=column.help) or None
