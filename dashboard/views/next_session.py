"""Next session: what to feed a player next, from where and how many, in so many minutes; and keep it for the table."""

import streamlit as st

from dashboard import questions
from dashboard.questions import Desk
from dashboard.rows.plans import Proposal
from dashboard.services import plans
from dashboard.services.plans import NothingToPlan
from dashboard.views.frame import cut_off_caption, page, tell_cautions
from dashboard.views.page_choices import chosen_player, weeks_with_players, what_is_this
from dashboard.views.plan_kept import tell_kept
from dashboard.words import figures
from dashboard.words import plan as plan_words
from dashboard.words import sentences as wording
from dashboard.words.cautions import IN_SHORT
from dashboard.words.explaining import settings_told
from dashboard.words.phrases import verbatim
from ingest.club_day import today
from models.planned import Plan, PlannedBlock

USUAL_MINUTES = 60
LONGEST_MINUTES = 300
MOST_BALLS = 500


def body(desk: Desk) -> None:
    """What is kept already; then a plan, to be changed and kept."""
    if not weeks_with_players(desk):
        return
    with st.container(horizontal=True, vertical_alignment="bottom"):
        player = chosen_player(desk, "Player")
        minutes = st.number_input("Minutes", 5, LONGEST_MINUTES, USUAL_MINUTES, step=5, key="plan-minutes")
        on = st.date_input("Day", today(), min_value=today(), format="YYYY-MM-DD", key="plan-day")
    if player is None:
        st.info("Pick the player whose next session you want to plan.", icon=":material/person_search:")
        return
    _tell_what_happened("plan_dropped")
    _show_kept(desk, player)
    st.header("A plan by what is lacking")
    if old := plan_words.old_log(questions.last_day(desk), on):
        st.warning(old, icon=":material/history:")
    try:
        _show_proposal(desk, questions.kept(desk, plans.proposed, player, minutes, on))
    except NothingToPlan as problem:
        st.info(verbatim(str(problem)), icon=":material/info:")
    cut_off_caption(desk)


def _show_kept(desk: Desk, player: str) -> None:
    plan = tell_kept(desk, player, "Kept for the table")
    if plan is None:
        return
    st.caption(plan_words.DONE_RULE)
    if st.button("Take this plan back", icon=":material/delete:"):
        plans.drop(desk, player, plan.meant_for)
        st.session_state["plan_dropped"] = "The plan is taken back. The table no longer offers it."
        st.rerun()


def _tell_what_happened(key: str) -> None:
    if sentence := st.session_state.pop(key, None):
        st.success(sentence, icon=":material/check_circle:")


def _show_proposal(desk: Desk, proposal: Proposal) -> None:
    """The sum first, then the blocks with why, each to be changed; what is left out; and keeping it."""
    sum_first = st.container()
    plan = plans.changed(desk, proposal, _ask_blocks(proposal))
    with sum_first:
        _tell_sum(proposal, plan)
    st.markdown("\n".join(f"- {verbatim(sentence)}" for sentence in plan_words.left_out(proposal)))
    _offer_to_keep(desk, proposal, plan)
    what_is_this(desk, figures.GAPS)
    _define(desk)
    if plan.moves:
        tell_cautions()


def _tell_sum(proposal: Proposal, plan: Plan) -> None:
    st.markdown(f"**{plan_words.in_short(plan)}**" if plan.blocks else "**Every block is left out.**")
    if over := plan.over(proposal.minutes):
        st.warning(f"That is {plan_words.minutes(over)} more than the session has.", icon=":material/schedule:")


def _ask_blocks(proposal: Proposal) -> dict[int, int]:
    """The blocks place by place; how many balls of each kind are wanted, by rank."""
    balls: dict[int, int] = {}
    before = None
    for number, block in enumerate(proposal.plan.blocks, start=1):
        if block.stand != before:
            st.subheader(f"From {verbatim(plan_words.setup_called(block.stand.setup, proposal.setups))}")
            if before is not None:
                sentence = plan_words.move(before, block.stand, proposal.setups)
                st.warning(f"{verbatim(sentence)} {IN_SHORT}", icon=":material/warning:")
        before = block.stand
        with st.container(border=True):
            balls |= _ask_block(proposal, number, block)
    return balls


def _ask_block(proposal: Proposal, number: int, block: PlannedBlock) -> dict[int, int]:
    balls = {}
    if len(block.drills) > 1:
        st.markdown(f"**Block {number}**, mixed: the player cannot know which ball comes next.")
    for place, drill in enumerate(block.drills, start=1):
        rank = drill.gap.rank
        why, asked = st.columns([4, 1], vertical_alignment="center")
        head = f"**Block {number}.** " if len(block.drills) == 1 else ""
        why.markdown(f"{head}{verbatim(wording.feed_next(proposal.gaps[rank], proposal.on))}")
        kind = "" if len(block.drills) == 1 else f", ball {place}"
        balls[rank] = asked.number_input(
            f"Balls, block {number}{kind}",
            0,
            MOST_BALLS,
            drill.balls,
            step=5,
            key=f"plan-{proposal.player_id}-{rank}",
            help="0 leaves it out.",
        )
    return balls


def _offer_to_keep(desk: Desk, proposal: Proposal, plan: Plan) -> None:
    is_meant = st.button("Keep this plan for the table", icon=":material/save:", disabled=not plan.blocks)
    st.caption("It takes the place of a plan for the same day. At the table its blocks are offered first.")
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
