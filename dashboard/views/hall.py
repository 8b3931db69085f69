"""Hall plan: who is at which table when, what is fed there, and when a feeder moves; to be kept, printed, followed."""

from collections.abc import Mapping, Sequence, Set
from datetime import date, time

import streamlit as st

from dashboard import questions
from dashboard.paper.addresses import hall_path
from dashboard.questions import Desk
from dashboard.rows.halls import HallOrder, HallSession
from dashboard.services import halls, halls_kept, plans
from dashboard.services.halls import NoHallPlan
from dashboard.views.frame import cut_off_caption, page, tell_cautions
from dashboard.views.hall_drawn import draw_axis, draw_turns
from dashboard.views.hall_kept import show_kept
from dashboard.views.on_paper import offer_paper
from dashboard.views.page_choices import weeks_with_players
from dashboard.words import hall as words
from dashboard.words.phrases import combination, verbatim
from ingest.club_day import today
from models.hall.planning import HallDraft
from models.locks import Decision
from models.settings import Settings
from models.words import FEEDING
from models.worth import Cell

USUAL_MINUTES = 90
ALL_GROUPS = "Everybody"


def body(desk: Desk) -> None:
    """Who is here and which tables there are; then the plan, to be kept and printed."""
    if not weeks_with_players(desk):
        return
    show_kept(desk, today())
    settings = questions.settings(desk)
    with st.container(horizontal=True, vertical_alignment="bottom"):
        on = st.date_input("Day", today(), min_value=today(), format="YYYY-MM-DD", key="hall-day")
        begins_at = st.time_input("Begins at", time.fromisoformat(settings.hall_begins_at), key="hall-begins", step=300)
        minutes = st.number_input("Minutes", 10, 300, USUAL_MINUTES, step=5, key="hall-minutes")
        breaks = st.number_input("Breaks of 5 minutes", 0, 3, 0, key="hall-breaks")
    here = _ask_who_is_here(desk, on)
    order = HallOrder(here, _ask_tables(desk), minutes, on, begins_at, breaks)
    _ask_locks(desk, here, on)
    try:
        _show_plan(desk, order, settings)
    except NoHallPlan as problem:  # What is asked for can be changed right here: no fault.
        st.info(verbatim(str(problem)))


def _ask_who_is_here(desk: Desk, on: date) -> tuple[str, ...]:
    """One touch a child: everybody of the group is here until somebody is touched; kept as attendance."""
    players = questions.players(desk)
    groups = sorted({player.group_name for player in players if player.group_name})
    if len(groups) > 1:
        group = st.segmented_control("Group", [ALL_GROUPS, *groups], default=groups[0], key="hall-group") or groups[0]
    else:
        group = ALL_GROUPS
    shown = [player for player in players if group in (ALL_GROUPS, player.group_name)]
    names = {player.player_id: player.name for player in shown}
    noted = [code for code in names if code in halls_kept.who_is_here(desk, on)]
    key = f"hall-here-{on}-{group}"
    here = st.pills(
        "Who is here? Touch whoever is not.",
        list(names),
        selection_mode="multi",
        default=noted or list(names),
        format_func=lambda code: names[code],
        key=key,
    )
    # Noted here and not by a callback, which runs before it is known who asks; and only what was touched on this page.
    if st.session_state.setdefault(f"{key}-seen", noted or list(names)) != here:
        halls_kept.note_here(desk, on, names, here)
        st.session_state[f"{key}-seen"] = here
    return tuple(here)


def _ask_tables(desk: Desk) -> tuple[str, ...]:
    """How many tables of each kind of feeding that has a setup."""
    kinds = [kind for kind in FEEDING.names if any(setup.feeding == kind for setup in questions.hall_setups(desk))]
    asked: list[str] = []
    with st.container(horizontal=True, vertical_alignment="bottom"):
        for kind in kinds:
            usual = 1 if kind == kinds[0] else 0
            asked += [kind] * st.number_input(TABLES[kind], 0, 8, usual, key=f"hall-tables-{kind}")
    return tuple(asked)


TABLES = {"robot": "Tables with a feeder", "multiball": "Tables with multiball", "partner": "Tables for partners"}


def _ask_locks(desk: Desk, here: Sequence[str], on: date) -> None:
    """What has to be in, and what is not fed today: the coach decides, nothing is judged here."""
    names = {player.player_id: player.name for player in questions.players(desk)}
    with st.expander("Must be in, or not today", key="hall-locks"):
        player = st.selectbox("Player", here, format_func=lambda code: names[code], index=None, key="hall-lock-player")
        if player:
            wanted = {one.cell: combination(one.words) for one in questions.wanted_by_player(desk, on).get(player, ())}
            locks = plans.locks_of(desk, player, on)
            decided: tuple[tuple[str, Decision, frozenset[Cell]], ...] = (
                ("Must be in", "must", locks.must),
                ("Not today", "not_today", locks.not_today),
            )
            for told, decision, kept in decided:
                touched, chosen = _ask_balls(told, wanted, kept, f"hall-{decision}-{player}-{on}")
                for ball in touched:
                    plans.decide(desk, player, on, ball, decision if ball in chosen else None, today())


def _ask_balls(told: str, wanted: Mapping[Cell, str], kept: Set[Cell], key: str) -> tuple[Set[Cell], Set[Cell]]:
    """The balls that were touched on this page since, and all that are chosen now."""
    balls = [cell for cell in wanted if cell in kept]
    chosen = set(st.multiselect(told, list(wanted), balls, format_func=lambda cell: wanted[cell], key=key))
    before: set[Cell] = st.session_state.setdefault(f"{key}-seen", set(balls))
    st.session_state[f"{key}-seen"] = chosen
    return chosen ^ before, chosen


def _show_plan(desk: Desk, order: HallOrder, settings: Settings) -> None:
    """The plain plan at once, in its place the better one as soon as that is found."""
    draft = halls.draft(desk, order)
    head, acts = st.container(), st.container()
    names = {player.player_id: player.name for player in questions.players(desk)}
    st.pills("Follow", order.players, format_func=lambda code: names[code], key="hall-follow")
    looking, drawing = st.empty(), st.empty()
    asked, kept = (order, plans.locks_on(desk, order.on)), st.session_state.get("hall-found")
    if kept is None or kept[0] != asked:
        looking.caption("A better plan is looked for ...")
        with drawing.container():
            _draw(halls.session(desk, order, draft))
        st.session_state["hall-found"] = kept = (asked, halls.bettered(desk, order))
    looking.empty()
    found: HallDraft = kept[1]
    session = halls.session(desk, order, found)
    with head:
        _tell_sum(session)
    with acts:
        _offer_to_keep(desk, session)
    with drawing.container():
        _draw(session)
    _tell_how_it_is_made(settings)
    if session.plan.moves:
        tell_cautions()
    cut_off_caption(desk)


def _tell_how_it_is_made(settings: Settings) -> None:
    with st.popover("How is this plan made?", icon=":material/help:"):
        st.markdown(f"{words.HOW_MADE} {words.WAITS}")
        st.markdown(
            f"- Setting **hall_wait_minutes** = {settings.hall_wait_minutes:g}\n"
            f"- Setting **hall_balls** = {settings.hall_balls}\n- Setting **hall_minutes** = {settings.hall_minutes:g}"
        )


def _tell_sum(session: HallSession) -> None:
    st.markdown(f"**{words.in_short(session.plan)}** {words.for_everyone(session)}")
    st.caption(words.how_good(session.plan.gap))
    for sentence in words.cautions_of(session):
        st.warning(verbatim(sentence), icon=":material/info:")


def _offer_to_keep(desk: Desk, session: HallSession) -> None:
    with st.container(horizontal=True, vertical_alignment="center"):
        if st.button("Keep this plan", type="primary", icon=":material/save:", key="hall-keep"):
            halls_kept.keep(desk, session, today())
            st.session_state["hall-told"] = "The plan is kept. The table offers each child's turns, in their order."
            st.rerun()
    if told := st.session_state.pop("hall-told", None):
        st.success(told, icon=":material/check_circle:")
        offer_paper("Print the plan", hall_path(session.on, session.begins_at))


def _draw(session: HallSession) -> None:
    draw_axis(session)
    draw_turns(session)


page("Hall plan", "Who is at which table when, and what is fed there?", body)
