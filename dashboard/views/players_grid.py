"""Players in a grid, to be changed cell by cell."""

from collections.abc import Mapping, Sequence
from typing import Any

import polars as pl
import streamlit as st

from dashboard.views.line_form import FIRST_LINE, faults
from dashboard.views.refusals import in_words
from dashboard.words.phrases import verbatim
from ingest.written_lines import asked_as
from models.player_record import Player
from models.records import columns_of
from models.shapes import Day, OneOf, WholeNumber, YesOrNo

Line = Mapping[str, Any]

COLUMNS = {column.name: column for column in columns_of(Player)}
_STORED = {WholeNumber: pl.Int64, Day: pl.Date, YesOrNo: pl.Boolean}


def ask_grid(lines: Sequence[Line], *, key: str, groups: Sequence[str]) -> list[dict[str, Any]]:
    """The rows as they are after the changes."""
    names = list(lines[0])
    schema: dict[str, Any] = {name: _STORED.get(type(COLUMNS[name].shape), pl.String) for name in names}
    frame = pl.DataFrame([[line[name] for name in names] for line in lines], schema=schema, orient="row")
    edited = st.data_editor(
        frame,
        key=key,
        hide_index=True,
        num_rows="fixed",
        placeholder="",
        column_config={name: _config(name, groups) for name in names},
        alt="The players, a row for each, to be changed",
    )
    # The grid gives whole numbers back as floats, and days as instants.
    return list(edited.cast(schema).iter_rows(named=True))


def _config(name: str, groups: Sequence[str]) -> Any:
    column = COLUMNS[name]
    title, shape = asked_as(column), column.shape
    if isinstance(shape, OneOf):
        return st.column_config.SelectboxColumn(title, help=column.help, options=shape.words.names, required=True)
    if isinstance(shape, YesOrNo):
        return st.column_config.CheckboxColumn(title, help=column.help)
    if isinstance(shape, WholeNumber):
        return st.column_config.NumberColumn(title, help=column.help, format="plain", step=1)
    if isinstance(shape, Day):
        return st.column_config.DateColumn(title, help=column.help, format="YYYY-MM-DD")
    known = f" There are: {', '.join(groups)}." if name == "group" and groups else ""
    return st.column_config.TextColumn(title, help=f"{column.help}.{known}")


def tell_faults_of_grid(form: str, names: Sequence[str] = ()) -> None:
    """What was refused about single cells: the row, the column, and what to do. `names`: whose row each is."""
    for fault in faults(form):
        if fault.column is not None and fault.line is not None:
            row = fault.line - FIRST_LINE
            whose = f"{names[row]}, " if row < len(names) else ""
            told = f"**{verbatim(whose)}{asked_as(COLUMNS[fault.column]).rstrip(' *')}**: {in_words(fault)}"
            st.error(told, icon=":material/error:")
