"""Type a sheet: what was written beside the table, a line for each block in the order of the sheet."""

from collections.abc import Mapping
from datetime import date
from typing import Any

import streamlit as st

from dashboard import questions
from dashboard.drawings.markup import element
from dashboard.paper.addresses import GROUP_SHEET, SESSION_SHEET
from dashboard.questions import Desk
from dashboard.services import plans
from dashboard.services.logs import load_lines
from dashboard.views.drawn import show
from dashboard.views.frame import page, refusals_told
from dashboard.views.on_paper import offer_paper
from dashboard.views.page_choices import players_and_setups
from dashboard.views.refusals import under_way
from dashboard.words.phrases import label, verbatim
from ingest.club_day import now, today
from ingest.written_lines import lines_as_file
from models.kept_plan import KeptPlan
from models.records import EMPTY_IDENTITY
from models.typed_sheet import TypedSheet
from models.written_line import COUNTED, RINGED, NotReadable, Values, keys_of

MOST_PLAYERS = 6
_SHEET, _LINE, _FAULT, _TOLD = "typed-sheet", "typed-line", "typed-fault", "typed-told"


def body(desk: Desk) -> None:
    """Whose sheet and of which day; the line; what was typed; and saving it all at once."""
    players, setups = players_and_setups(desk)
    if not players or not setups:
        return
    if sentence := st.session_state.pop(_TOLD, None):
        st.success(sentence, icon=":material/check_circle:")
    chosen, on, session, coach = _asked(players)
    if not chosen or on is None:
        st.info("Pick whose sheet it is, in the order of its rows.", icon=":material/person_search:")
    else:
        sheet = _sheet(desk, chosen, on, session or EMPTY_IDENTITY["session"])
        _ask_line(sheet, setups, players)
        _show_lines(sheet, players)
        with refusals_told():
            _offer_to_save(desk, sheet, {"session_date": on, "session": session, "coach": coach})
    _tell_keys(setups)
    offer_paper("An empty sheet for one player (PDF)", SESSION_SHEET)
    offer_paper("An empty sheet for six players (PDF)", GROUP_SHEET)


def _asked(players: Mapping[str, str]) -> tuple[list[str], date | None, str | None, str | None]:
    chosen = st.multiselect(
        "Players, in the order of the sheet",
        list(players),
        format_func=lambda code: f"{players[code]} ({code})",
        max_selections=MOST_PLAYERS,
        key="typed-players",
    )
    with st.container(horizontal=True):
        on = st.date_input("Day", today(), max_value=today(), format="YYYY-MM-DD", key="typed-day")
        session = st.text_input("Session", max_chars=40, key="typed-session", help="Empty is 1.") or None
        coach = st.text_input("Coach", max_chars=80, key="typed-coach") or None
    return chosen, on, session, coach


def _sheet(desk: Desk, players: list[str], on: date, session: str) -> TypedSheet:
    """The sheet that is being typed; an empty one where another one is asked for now."""
    key = (tuple(players), on, session)
    kept: tuple[Any, TypedSheet] | None = st.session_state.get(_SHEET)
    if kept is None or kept[0] != key:
        first = {player: questions.next_block(desk, player, on, session) for player in players}
        plan = plans.next_kept(desk, players[0], on) if len(players) == 1 else None
        planned = _planned(plan) if plan is not None and plan.meant_for == on else []
        kept = (key, TypedSheet(players, first, planned))
        st.session_state[_SHEET] = kept
    return kept[1]


def _planned(plan: KeptPlan) -> list[Values]:
    """The balls of a kept plan as columns of the log, block by block."""
    several = {number for number, block in enumerate(plan.blocks, start=1) if len(block.kinds) > 1}
    return [
        {
            **{column: str(value) for column, value in kind.feed.items()},
            "order": block.order,
            "block": str(number),
            **({"feed": str(feed)} if number in several else {}),
        }
        for number, block in enumerate(plan.blocks, start=1)
        for feed, kind in enumerate(block.kinds, start=1)
    ]


def _ask_line(sheet: TypedSheet, setups: Mapping[str, str], players: Mapping[str, str]) -> None:
    player, block = sheet.expects
    ball = sheet.next_planned or sheet.ball
    st.text_input(
        f"Block {block} of {players[player]}",
        key=_LINE,
        on_change=_take_line,
        args=(tuple(setups),),
        placeholder="BC b s m 30 21 5 2 1 1",
        help="Setup, what is ringed, counts; then Enter. Counts alone are of the ball that stands below.",
    )
    if fault := st.session_state.get(_FAULT):
        st.error(verbatim(fault), icon=":material/error:")
    if ball:
        st.caption(f"Counts alone are of: {verbatim(_ball_told(ball))}.")


def _take_line(setups: tuple[str, ...]) -> None:
    """Read the line; what cannot be read stays in its field to be mended."""
    text, (key, sheet) = st.session_state[_LINE], st.session_state[_SHEET]
    if not text.strip():
        return
    try:
        st.session_state[_SHEET] = (key, sheet.typed(text, setups))
    except NotReadable as problem:
        st.session_state[_FAULT] = str(problem)
        return
    st.session_state.pop(_FAULT, None)
    st.session_state[_LINE] = ""


def _ball_told(line: Values) -> str:
    named = ("spin", "length", "placement", "height", "sidespin", "stroke", "order")
    said = [line["setup"], *(label(line[name]) for name in named if line.get(name))]
    return ", ".join([*said, f"{line['tempo_bpm']} a minute"] if line.get("tempo_bpm") else said)


def _show_lines(sheet: TypedSheet, players: Mapping[str, str]) -> None:
    """What was typed, as it was taken."""
    if not sheet.lines:
        return
    heads = ["Player", "Block", "Ball", *COUNTED]
    head = element("tr", *(element("th", label(name), scope="col") for name in heads))
    rows = [
        element("tr", *(element("td", cell) for cell in (players[line["player"]], line["block"], _ball_told(line))),
                *(element("td", line.get(name, "")) for name in COUNTED))
        for line in sheet.lines
    ]  # fmt: skip
    show(element("div", element("table", element("thead", head), element("tbody", *rows)), class_="hl-typed"))
    st.button("Take the last line back", on_click=_take_back)


def _take_back() -> None:
    key, sheet = st.session_state[_SHEET]
    st.session_state[_SHEET] = (key, sheet.without_last())


def _offer_to_save(desk: Desk, sheet: TypedSheet, who_and_when: Mapping[str, Any]) -> None:
    count = len(sheet.lines)
    if not st.button(f"Save {count} line{'' if count == 1 else 's'}", type="primary", disabled=not count):
        return
    lines = [{**who_and_when, **line} for line in sheet.lines]
    file = lines_as_file(lines, f"sheet typed {now():%Y-%m-%d %H:%M:%S}")
    with under_way("Saving, and making the figures anew …") as say:
        report = load_lines(desk, file, sheet.players, today=today(), say=say)
    if report.refusals:
        for refusal in report.refusals:
            st.error(verbatim(refusal.sentence), icon=":material/error:")
        st.warning(f"{report.lines_accepted} of {count} lines are in the log. Type the others again, mended.")
        return
    st.session_state.pop(_SHEET)
    st.session_state[_TOLD] = f"{count} line{'' if count == 1 else 's'} in the log, as batch {report.batch}."
    st.rerun()


def _tell_keys(setups: Mapping[str, str]) -> None:
    """What can be typed, in the order of the sheet."""
    with st.expander("What is typed for what"):
        told = [f"Setup: {', '.join(f'{code} ({name})' for code, name in setups.items())}"]
        told += [
            f"{words.name}: " + ", ".join(f"{key} {label(word)}" for word, key in keys_of(words).items())
            for words in RINGED
        ]
        told.append(f"Counts: {', '.join(COUNTED)}; the last four may be left out together")
        told.append("t40: tempo of 40 balls a minute; m5: 5 minutes; e6: effort of the session 6 of 10")
        told.append("A minus sign: this player of a group had none of these balls")
        st.markdown("\n".join(f"- {verbatim(one)}." for one in told))


page("Type a sheet", "What was written beside the table, a line for each block.", body)
