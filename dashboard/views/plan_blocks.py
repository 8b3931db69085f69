"""The blocks of a plan as drawings, place by place: a touch opens one."""

import streamlit as st

from dashboard.drawings.ball_drawing import signs_of
from dashboard.drawings.balls import Ball
from dashboard.drawings.drill_drawing import drill_drawing
from dashboard.drawings.markup import Markup, element
from dashboard.drawings.minutes_line import Stretch, minutes_line
from dashboard.drawings.signs import Hand
from dashboard.views.drawn import for_both, show
from dashboard.views.plan_work import Work, open_block
from dashboard.words import plan as plan_words
from dashboard.words.phrases import label, verbatim
from dashboard.words.plan_setup import short_name
from models.planned import Drill, Plan, PlannedBlock
from models.stance import distance_cm

LINE_WIDTH = 1224.0


def show_minutes(work: Work) -> None:
    """The minutes of the session as one line."""
    stretches = _stretches(work)
    show(*for_both(lambda width: minutes_line(stretches, width), LINE_WIDTH))


def _stretches(work: Work) -> list[Stretch]:
    parts: list[Stretch] = []
    for at, block in enumerate(work.plan.blocks):
        before = work.plan.blocks[at - 1] if at else None
        if before is not None and before.stand != block.stand:
            moved = f"move, {work.settings.feeder_move_minutes:g} min"
            parts.append(Stretch(work.settings.feeder_move_minutes, "moving", moved))
        parts.append(_fed(block, before, parts))
    left = work.proposal.minutes - work.plan.minutes
    return [*parts, Stretch(left, "left", f"{plan_words.minutes(left)} left")] if left > 0.5 else parts


def _fed(block: PlannedBlock, before: PlannedBlock | None, parts: list[Stretch]) -> Stretch:
    """A block; one from the same place as the one before is put together with it."""
    kind = "closing" if block.closes else "feeding"
    minutes = block.minutes
    if before is not None and before.stand == block.stand and parts[-1].kind == kind:
        minutes += parts.pop().minutes
    called = "closing mix" if block.closes else block.stand.setup
    return Stretch(minutes, "closing" if block.closes else "feeding", f"{called} · {minutes:.0f} min")


def list_blocks(work: Work, hand: Hand) -> None:
    """Every block with its drawing; at each place of the feeder what it is called and how far it is moved there."""
    for at, block in enumerate(work.plan.blocks):
        if at == 0 or work.plan.blocks[at - 1].stand != block.stand:
            _tell_place(work, at)
        here = "-here" if at == work.at else ""
        with st.container(key=f"hl-block-{at}{here}", horizontal=True, vertical_alignment="center"):
            st.button(f"Block {at + 1}", key=f"plan-open-{at}", on_click=open_block, args=(at,))
            show(_row(block, work, hand))


def _tell_place(work: Work, at: int) -> None:
    stand, plan = work.plan.blocks[at].stand, work.plan
    called = plan_words.setup_called(stand.setup, work.proposal.setups)
    show(element("div", element("b", called), element("span", _way_there(plan, at)), class_="hl-place"))


def _way_there(plan: Plan, at: int) -> str:
    if at == 0:
        return "begin here"
    away_cm = distance_cm(plan.blocks[at - 1].stand.place, plan.blocks[at].stand.place)
    return f"move {away_cm:.0f} cm" if away_cm >= 1 else "same place, another setup"


def _row(block: PlannedBlock, work: Work, hand: Hand) -> Markup:
    first = block.drills[0]
    told = [_title(block), element("span", _why(first, block, work), class_="hl-quiet")]
    must = any(drill.gap.cell in work.locks.must for drill in block.drills)
    count = element("span", element("b", str(block.balls)), "balls", class_="hl-count")
    locked = [element("span", "must be in", class_="hl-locked")] if must else []
    signs = signs_of(Ball.of(first.words), hand=hand, size=16) if len(block.drills) == 1 else Markup("")
    words = element("div", signs, *told, *locked)
    drawings = [drill_drawing(drill, 44, hand) for drill in block.drills[:1]]
    return element("div", *drawings, words, count, class_="hl-block-row")


def _title(block: PlannedBlock) -> Markup:
    if block.closes:
        return element("b", f"Closing mix of {len(block.drills)} balls")
    if len(block.drills) > 1:
        how = "in turn" if block.order == "serial" else "mixed"
        return element("b", f"{len(block.drills)} balls {how}: {', then '.join(map(_shortly, block.drills))}")
    return element("b", short_name(first_words(block)))


def first_words(block: PlannedBlock) -> dict[str, str | None]:
    """The words of the first ball of a block."""
    return dict(block.drills[0].words)


def _shortly(drill: Drill) -> str:
    return label(drill.stroke) if drill.stroke else short_name(drill.words).lower()


def _why(drill: Drill, block: PlannedBlock, work: Work) -> str:
    if block.closes:
        return "in random order"
    stroke = f"{label(drill.stroke)} · " if drill.stroke else ""
    return stroke + plan_words.why_shortly(drill, work.proposal)


def tell_sum(work: Work) -> None:
    """How much the plan is, and whether that is more than the session has."""
    plan = work.plan
    st.markdown(f"**{plan_words.in_short(plan)}**" if plan.blocks else "**Every block is left out.**")
    if over := plan.over(work.proposal.minutes):
        st.warning(f"That is {plan_words.minutes(over)} more than the session has.", icon=":material/schedule:")


def tell_left_out(work: Work) -> None:
    """What is not in the plan, by the reason."""
    told = plan_words.left_out(work.plan)
    if told:
        st.markdown("\n".join(f"- {verbatim(sentence)}" for sentence in told))
