"""The block that is open on the workbench: its drawing, its words to change, and how to set the feeder for it."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

import streamlit as st

from dashboard.drawings.drill_drawing import drill_drawing
from dashboard.drawings.markup import Markup, element
from dashboard.drawings.signs import Hand
from dashboard.questions import Desk
from dashboard.services import plans
from dashboard.views.drawn import show
from dashboard.views.plan_acts import show_acts
from dashboard.views.plan_side import show_the_side
from dashboard.views.plan_work import Work, change, open_block, redraw
from dashboard.words import plan as plan_words
from dashboard.words.phrases import label, verbatim
from dashboard.words.plan_setup import CHECK_BALL, change_from_before, changes_within, facts
from models import plan_edits
from models.block_setup import BlockSetup, block_setup
from models.bounds import OutOfBounds
from models.closing import closing_block
from models.plan_edits import MOST_BALLS
from models.planned import Drill, Gap, Plan
from models.words import COVERAGE_DIMENSIONS, STROKE, WordList

ANY = "any"
FIRST_ASKED = ("spin_family", "length", "tempo_band", "placement")
OF_THE_PLACE = ("depth", "side")
DRAWN_WIDTH = 190.0

_CALLED = {"spin_family": "Spin", "placement": "Where it comes", "spin": "Spin, finely"}


def show_block(desk: Desk, work: Work, hand: Hand) -> None:
    """The open block."""
    st.header(f"Block {work.at + 1}")
    show_acts(work)
    block, drill = work.block, work.block.drills[work.kind]
    if len(block.drills) > 1:
        _choose_kind(work)
    setup = _setup(desk, work, drill)
    drawn, asked = st.columns([2, 3])
    with drawn:
        show(drill_drawing(drill, DRAWN_WIDTH, hand, lands=setup.lands if setup else None, alternative=""))
        if setup:
            show_the_side(setup)
    with asked:
        if block.closes:
            _tell_closing(work)
        else:
            _ask_words(work, drill)
    for sentence in _changes(work):
        st.markdown(verbatim(sentence))
    st.markdown(f"Why: {verbatim(plan_words.why_in(drill, work.proposal))}.")
    if setup:
        _tell_setup(setup)


def _setup(desk: Desk, work: Work, drill: Drill) -> BlockSetup | None:
    feeder = work.proposal.feeders.get(drill.stand.setup)
    if feeder is None:
        return None
    try:
        return block_setup(feeder, drill.words, work.proposal.hand, plans.dials_of(desk, feeder))
    except OutOfBounds:
        return None


def _choose_kind(work: Work) -> None:
    with st.container(horizontal=True, key="hl-kinds"):
        for kind, drill in enumerate(work.block.drills):
            called = f"Ball {kind + 1}" + (f", {label(drill.stroke)}" if drill.stroke else "")
            st.button(
                called,
                key=f"plan-kind-{kind}",
                type="primary" if kind == work.kind else "secondary",
                on_click=open_block,
                args=(work.at, kind),
            )
        if not work.block.closes:
            st.button("Take this ball out", on_click=_put, args=("without", None))


def _ask_words(work: Work, drill: Drill) -> None:
    """What can be changed; what the target names first, the rest one click away."""
    st.selectbox(
        "Place",
        list(work.proposal.stands),
        format_func=lambda code: plan_words.setup_called(code, work.proposal.setups),
        **_field("place", drill.stand.setup),
    )
    words = {one.name: one for one in COVERAGE_DIMENSIONS if one.name not in OF_THE_PLACE}
    for name in FIRST_ASKED:
        _ask_word(words.pop(name), drill)
    with st.container(horizontal=True):
        st.number_input("Balls", 1, MOST_BALLS, step=5, **_field("balls", drill.balls))
        st.selectbox("Stroke", [ANY, *STROKE.names], format_func=label, **_field("stroke", drill.stroke or ANY))
    with st.expander("More of this ball"):
        for one in words.values():
            _ask_word(one, drill)
    with st.popover("Combine"):
        _ask_to_combine(work)


def _ask_word(words: WordList, drill: Drill) -> None:
    st.segmented_control(
        _CALLED.get(words.name, words.title),
        [ANY, *words.names],
        format_func=label,
        required=True,
        **_field(words.name, drill.words.get(words.name) or ANY),
    )


def _field(name: str, value: Any) -> dict[str, Any]:
    """The key of a field whose value is that of the plan, whatever edit brought it there."""
    key = f"plan-field-{name}"
    st.session_state[key] = value
    return {"key": key, "on_change": _put, "args": (name, key)}


def _put(name: str, key: str | None) -> None:
    value = st.session_state[key] if key else None
    change(lambda work: _edited(work, name, value))


def _edited(work: Work, name: str, value: Any) -> Plan:
    plan, at, kind, own = work.plan, work.at, work.kind, work.settings
    drills = list(work.block.drills)
    if name == "place":
        return plan_edits.from_place(plan, at, work.proposal.stands[value], own)
    if name == "follow":
        return plan_edits.with_drills(plan, at, drills, own, value)
    if name == "without":
        return plan_edits.with_drills(plan, at, [*drills[:kind], *drills[kind + 1 :]], own)
    if name in ("balls", "stroke"):
        stroke, balls = drills[kind].stroke, drills[kind].balls
        drills[kind] = (
            replace(drills[kind], balls=value or balls)
            if name == "balls"
            else replace(drills[kind], stroke=None if value == ANY else value or stroke)
        )
        return plan_edits.with_drills(plan, at, drills, own)
    words = {**drills[kind].words, name: None if value == ANY else value}
    return plan_edits.reworded(plan, at, kind, words, own)


def _ask_to_combine(work: Work) -> None:
    """One more ball in this block, and how the balls follow each other."""
    if len(work.block.drills) > 1:
        st.segmented_control(
            "They come",
            ["serial", "random"],
            format_func={"serial": "in turn", "random": "mixed"}.__getitem__,
            required=True,
            **_field("follow", work.block.follow),
        )
    st.button("The same ball again, for another stroke", on_click=_combine, args=(work.block.drills[-1].gap,))
    gaps = plan_edits.gaps_of(work.plan)
    st.selectbox(
        "One more ball, from the same place",
        gaps,
        index=None,
        format_func=lambda gap: plan_words.gap_in_words(gap, work.proposal),
        key="plan-combine",
        on_change=lambda: _combine(st.session_state["plan-combine"]),
        placeholder="Pick a ball",
    )


def _combine(gap: Gap | None) -> None:
    if gap is not None:
        change(lambda w: plan_edits.combined(w.plan, w.at, gap, w.settings))


def _changes(work: Work) -> Iterable[str]:
    told = change_from_before(work.plan, work.at)
    within = [] if work.block.closes else changes_within(work.block.drills)
    return [*([told] if told else []), *within]


def _tell_closing(work: Work) -> None:
    """What is mixed, and that its order was drawn once."""
    lines = [plan_words.why_in(drill, work.proposal) for drill in work.block.drills]
    st.markdown("\n".join(f"1. {verbatim(line)}" for line in lines))
    st.caption("The order was drawn once and is kept: paper and phone call the balls in it.")
    st.button("Draw another order", on_click=redraw, args=(_drawn_again, _closed))


def _drawn_again(work: Work, again: int) -> Any:
    seed = plans.seed_of(work.proposal.player_id, work.proposal.on, again)
    return closing_block(work.plan, work.proposal.wanted, work.settings, seed)


def _closed(work: Work, block: Any) -> Plan:
    return plan_edits.with_closing(work.plan, block, work.settings)


def _tell_setup(setup: BlockSetup) -> None:
    show(_panel(facts(setup)))
    st.caption(CHECK_BALL)


def _panel(pairs: Iterable[tuple[str, str]]) -> Markup:
    told = [element("div", element("span", name), element("b", value)) for name, value in pairs]
    return element("div", *told, class_="hl-facts")
