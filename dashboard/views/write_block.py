"""Write a block: one block of one player at a time, held to the same rules as a file."""

from collections.abc import Iterable
from itertools import groupby
from typing import Any

import streamlit as st

from dashboard import questions
from dashboard.paper.addresses import SESSION_SHEET
from dashboard.questions import Desk
from dashboard.services.logs import load_block
from dashboard.views.fields import ask
from dashboard.views.frame import page, refusals_told
from dashboard.views.on_paper import offer_paper
from dashboard.views.page_choices import players_and_setups
from dashboard.views.refusals import in_words, under_way
from ingest.club_day import now, today
from ingest.loading import Incoming, check
from ingest.problems import Refusal
from ingest.written_block import BLOCK, MORE, WHO_AND_WHEN, as_file
from ingest.written_lines import asked_as
from models.records import EMPTY_IDENTITY, Column
from models.shapes import OneOf

Values = dict[str, Any]

MOST_IN_A_ROW = 4


def body(desk: Desk) -> None:
    """Who and when, then the block, then what became of it."""
    players, setups = players_and_setups(desk)
    if not players or not setups:
        return
    if "block-player" not in st.session_state:  # Whoever comes back to the page finds its fields empty.
        forget_refusals()
    tell_what_happened()
    codes = {"player": players, "setup": setups}
    values = ask_all(WHO_AND_WHEN, codes, {"session_date": today()}, is_kept=True)
    values |= ask_block(desk, codes, values)
    with refusals_told():
        offer_to_replace(desk)
    st.caption(
        "Balls off the floor before the next block, above all where somebody steps back or the feeder is moved. "
        "The club's own rules come first."
    )
    st.page_link("views/type_sheet.py", label="Type a whole sheet, a line for each block", icon=":material/keyboard:")
    offer_paper("An empty sheet to note balls by hand (PDF)", SESSION_SHEET)


def ask_block(desk: Desk, codes: dict[str, dict[str, str]], values: Values) -> Values:
    """The fields of the block and its button; what is needed stands first."""
    first = {"block": proposed_block(desk, values)}
    with st.form("block", border=True):
        block = ask_all(BLOCK, codes, first)
        with st.expander("More about this block, as far as you know it", expanded=is_at_fault(MORE)):
            block |= ask_all(MORE, codes, {})
        st.caption("Fields with a star are needed.")
        is_sent = st.form_submit_button("Save this block", icon=":material/save:")
    if is_sent:
        with refusals_told():
            screen_block(desk, values | block)
    return block


def proposed_block(desk: Desk, values: Values) -> int | None:
    """The number after the player's last block of this session."""
    if not values["player"] or not values["session_date"]:
        return None
    session = values["session"] or EMPTY_IDENTITY["session"]
    return questions.next_block(desk, values["player"], values["session_date"], session)


def ask_all(
    columns: Iterable[Column], codes: dict[str, dict[str, str]], first: Values, *, is_kept: bool = False
) -> Values:
    """Ask for every column in its order, with what was refused about it; words get the whole width."""
    values: Values = {}
    for is_wide, group in groupby(
        columns, key=lambda column: isinstance(column.shape, OneOf) or column.name == "setup"
    ):
        side_by_side = list(group)
        with st.container() if is_wide else st.grid(min(len(side_by_side), MOST_IN_A_ROW), min_column_width=150):
            for column in side_by_side:
                values[column.name] = ask_one(column, codes.get(column.name), first.get(column.name), is_kept)
        tell_faults(side_by_side)
    return values


def ask_one(column: Column, codes: dict[str, str] | None, first: Any, is_kept: bool) -> Any:
    """Ask for one value: a code from those the club knows, anything else by its shape."""
    if codes:
        return st.selectbox(
            asked_as(column),
            list(codes),
            index=None,
            format_func=lambda code: f"{codes[code]} ({code})",
            key=f"block-{column.name}",
            help=column.help,
            placeholder=f"Pick a {column.name}",
        )
    # A new key is a new field: after a block is saved, and when another block number is proposed.
    key = (
        f"block-{column.name}" if is_kept else f"block-{column.name}-{st.session_state.get('blocks_saved', 0)}-{first}"
    )
    return ask(column.shape, column, key, first)


def faults() -> list[Refusal]:
    """What was refused when the block was last sent."""
    found: list[Refusal] = st.session_state.get("block_faults", [])
    return found


def is_at_fault(columns: Iterable[Column]) -> bool:
    """Something was refused about these columns."""
    names = {column.name for column in columns}
    return any(fault.column in names for fault in faults())


def tell_faults(columns: Iterable[Column]) -> None:
    """What was refused about these columns, and what to do, below their fields."""
    for column in columns:
        for fault in faults():
            if fault.column == column.name:
                st.error(f"**{asked_as(column).rstrip(' *')}**: {in_words(fault)}", icon=":material/error:")


def screen_block(desk: Desk, values: Values) -> None:
    """Hold the block to the rules of a file; save it, ask about it, or send it back with what is wrong."""
    file = as_file(values, now())
    with under_way("Screening the block …") as say:
        (report,) = check(desk.folder, [file], today=today(), say=say)
    st.session_state["block_faults"] = list(report.refusals)
    if report.comparison.correcting:
        st.session_state["block_to_replace"] = file, values["player"]
    elif report.comparison.already_there:
        st.session_state["block_told"] = (
            "there already",
            "This block is in the log already, just as written. Nothing has changed.",
        )
    elif report.is_sound:
        save_block(desk, file, values["player"])
    st.rerun()


def save_block(desk: Desk, file: Incoming, player: str) -> None:
    """Store the block and publish; the next block begins with empty fields."""
    with under_way("Saving, and making the figures anew …") as say:
        report = load_block(desk, file, player, today=today(), say=say)
    st.session_state["blocks_saved"] = st.session_state.get("blocks_saved", 0) + 1
    st.session_state["block_told"] = ("saved", f"The block is in the log, as batch {report.batch}.")


def offer_to_replace(desk: Desk) -> None:
    """Ask before a block takes the place of one that is in the log already."""
    if "block_to_replace" not in st.session_state:
        return
    file, player = st.session_state["block_to_replace"]
    with st.container(border=True):
        st.markdown(
            "**This block is in the log already, with other figures.** If it is another block, give it the next "
            "number. If the log is wrong, replace its line: it is kept, and comes back if the new one is withdrawn."
        )
        with st.container(horizontal=True):
            is_meant = st.button("Replace the line in the log")
            is_kept = st.button("Keep the line in the log")
    if is_meant or is_kept:
        del st.session_state["block_to_replace"]
    if is_meant:
        save_block(desk, file, player)
    if is_meant or is_kept:
        st.rerun()


def forget_refusals() -> None:
    """Nothing is open from an earlier visit."""
    st.session_state.pop("block_faults", None)
    st.session_state.pop("block_to_replace", None)


def tell_what_happened() -> None:
    """What became of the block that was sent last, and what was refused about the line as a whole."""
    if outcome := st.session_state.pop("block_told", None):
        kind, sentence = outcome
        if kind == "saved":
            st.success(sentence, icon=":material/check_circle:")
        else:
            st.info(sentence, icon=":material/equal:")
    if faults():
        st.error("The block is not saved yet: what is wrong stands below its field.", icon=":material/error:")
    for fault in faults():
        if fault.column is None:
            st.error(in_words(fault), icon=":material/error:")


page("Write a block", "One block of one player: what was fed, and how many balls landed.", body)
