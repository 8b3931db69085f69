"""Next session: what to feed a player next, from where and how many, in so many minutes; and keep it for the table."""

from datetime import date

import streamlit as st

from dashboard import questions
from dashboard.paper.addresses import plan_path
from dashboard.questions import Desk
from dashboard.services import plans
from dashboard.services.plans import NothingToPlan
from dashboard.views.frame import cut_off_caption, page, tell_cautions
from dashboard.views.on_paper import offer_paper
from dashboard.views.page_choices import chosen_player, weeks_with_players, what_is_this
from dashboard.views.plan_block import show_block
from dashboard.views.plan_blocks import list_blocks, show_minutes, tell_left_out, tell_sum
from dashboard.views.plan_kept import tell_kept, tell_past
from dashboard.views.plan_lacking import show_lacking
from dashboard.views.plan_patterns import offer_patterns
from dashboard.views.plan_work import Work, change, plan_anew, work_on
from dashboard.words import figures
from dashboard.words import plan as plan_words
from dashboard.words import sentences as wording
from dashboard.words.cautions import IN_SHORT
from dashboard.words.explaining import settings_told
from dashboard.words.phrases import verbatim
from ingest.club_day import today
from models import plan_edits

USUAL_MINUTES = 60
LONGEST_MINUTES = 300


def body(desk: Desk) -> None:
    """What is kept already; then a plan, to be changed and kept."""
    if not weeks_with_players(desk):
        return
    player, minutes, on, closes = _asked(desk)
    if player is None:
        st.info("Pick the player whose next session you want to plan.", icon=":material/person_search:")
        return
    _tell_what_happened("plan_dropped")
    _show_kept(desk, player)
    tell_past(desk, player)
    st.header("A plan by what is lacking")
    if old := plan_words.old_log(questions.last_day(desk), on):
        st.warning(old, icon=":material/history:")
    try:
        _show_work(desk, work_on(desk, player, minutes, on, closes=closes))
    except NothingToPlan as problem:
        st.info(verbatim(str(problem)), icon=":material/info:")
    cut_off_caption(desk)


def _asked(desk: Desk) -> tuple[str | None, float, date, bool]:
    with st.container(horizontal=True, vertical_alignment="bottom"):
        player = chosen_player(desk, "Player")
        minutes = st.number_input("Minutes", 5, LONGEST_MINUTES, USUAL_MINUTES, step=5, key="plan-minutes")
        on = st.date_input("Day", today(), min_value=today(), format="YYYY-MM-DD", key="plan-day")
        closing = questions.settings(desk).closing_minutes
        told = f"The last {closing:g} minutes (a setting) mix balls of this session with balls met before."
        closes = st.toggle("End with a mix", closing > 0, key="plan-closes", help=told, disabled=not closing)
    return player, minutes, on, closes


def _show_kept(desk: Desk, player: str) -> None:
    plan = tell_kept(desk, player, "Kept for the table")
    if plan is None:
        return
    st.caption(plan_words.DONE_RULE)
    with st.container(horizontal=True):
        offer_paper("Print it, A4 (PDF)", plan_path(player))
        offer_paper("Letter (PDF)", plan_path(player, "letter"))
    if st.button("Take this plan back", icon=":material/delete:"):
        plans.drop(desk, player, plan.meant_for)
        st.session_state["plan_dropped"] = "The plan is taken back. The table no longer offers it."
        st.rerun()


def _tell_what_happened(key: str) -> None:
    if sentence := st.session_state.pop(key, None):
        st.success(sentence, icon=":material/check_circle:")


def _show_work(desk: Desk, work: Work) -> None:
    """The sum first, then blocks, the one that is open, and what lacks beside them; then keeping it."""
    tell_sum(work)
    show_minutes(work)
    _offer_to_keep(desk, work)
    hand = work.proposal.hand
    listed, opened, lacking = st.columns([3, 5, 2])
    with listed, st.container(key="hl-card-blocks"):
        list_blocks(work, hand)
        _tell_moves(desk, work)
    with opened, st.container(key="hl-card-block"):
        if work.plan.blocks:
            show_block(desk, work, hand)
    with lacking, st.container(key="hl-card-lacking"):
        show_lacking(work, hand)
    tell_left_out(work)
    what_is_this(desk, figures.GAPS, figures.DIALS)
    _define(desk)
    if work.plan.moves:
        tell_cautions()


def _tell_moves(desk: Desk, work: Work) -> None:
    """How to order all blocks at once; and the caution for the moves, once for all of them."""
    with st.container(horizontal=True):
        st.button("Isolated first", on_click=_isolated_first, help="At each place single balls before combined ones.")
        st.button("Plan anew", on_click=plan_anew, help="Forgets what you changed; keeps what must be in or not today.")
        offer_patterns(desk, work)
    if work.plan.moves:
        st.warning(IN_SHORT, icon=":material/warning:")


def _isolated_first() -> None:
    change(lambda work: plan_edits.isolated_first(work.plan, work.settings), at=0)


def _offer_to_keep(desk: Desk, work: Work) -> None:
    proposal, plan = work.proposal, work.plan
    is_meant = st.button(
        "Keep this plan for the table",
        icon=":material/save:",
        type="primary",
        disabled=not plan.blocks,
        help="It takes the place of a plan for the same day. At the table its blocks are offered first.",
    )
    if is_meant:
        plans.keep(desk, proposal.player_id, plan, proposal.on, today())
        st.session_state["plan_kept"] = "The plan is kept. The table offers its blocks first, and the player sees it."
        st.rerun()
    _tell_what_happened("plan_kept")


def _define(desk: Desk) -> None:
    """How a plan is made and its minutes are counted, one click away."""
    settings = questions.settings(desk)
    with st.popover("How is this plan made?", icon=":material/help:"):
        st.markdown(f"{plan_words.HOW_MADE} {plan_words.how_counted(settings)}")
        st.markdown(f"{plan_words.MIXED} {wording.ORDER_EVIDENCE}")
        st.markdown("\n".join(f"- Setting **{n}** = {value}" for n, value in settings_told(settings, plan_words.USES)))


page("Next session", "What do I feed this player next, from where, and how many balls?", body)
