"""Who needs you? Every player on one screen, those who need the coach most first."""

from collections.abc import Sequence
from typing import Any, Literal

import streamlit as st

from dashboard import questions
from dashboard.drawings.cells import legend
from dashboard.questions import Desk
from dashboard.rows.coach import NeedRow
from dashboard.views.frame import page
from dashboard.views.needs_cards import DrawnCard, drawn_cards
from dashboard.views.page_choices import weeks_with_players, what_is_this
from dashboard.words import figures
from dashboard.words.needs import FILTERS
from dashboard.words.phrases import verbatim
from models.needs import Reason

EVERYONE = "Everyone"
LOOKED_FOR = "needs-looked-for"


def body(desk: Desk) -> None:
    """The filters, the cards, and what the reasons are."""
    weeks = weeks_with_players(desk)
    if not weeks:
        return
    group = _chosen_group(desk)
    needs = questions.needs(desk, group)
    wanted = _chosen_reasons(needs)
    with st.container(key="hl-needs"):
        for card in questions.kept(desk, drawn_cards, group, wanted):
            _show(card)
    st.markdown(legend(), unsafe_allow_html=True)
    if waiting := len(questions.waiting_blocks(desk)):
        label = f"Logged by players, not accepted yet: {waiting}"
        st.page_link("views/own_logs.py", label=label, icon=":material/fact_check:")
    what_is_this(desk, figures.NEEDS, figures.COVERAGE, figures.BELOW_A_CARD)


def _chosen_group(desk: Desk) -> str | None:
    with st.container(key="hl-group"):
        chosen = st.selectbox("Group", [EVERYONE, *questions.groups(desk)], label_visibility="collapsed")
    return None if chosen == EVERYONE else chosen


def _chosen_reasons(needs: Sequence[NeedRow]) -> tuple[Reason, ...]:
    """The reasons to look for, each filter with the number of players for whom one of them holds; none is everyone."""
    held = {called: {need.player_id for need in needs if need.reason in reasons} for called, reasons in FILTERS.items()}
    told = {EVERYONE: {need.player_id for need in needs}} | {called: who for called, who in held.items() if who}
    chosen = st.session_state.get(LOOKED_FOR, EVERYONE)
    chosen = chosen if chosen in told else EVERYONE
    with st.container(key="hl-filters", horizontal=True):
        for called, who in told.items():
            _filter(called, len(who), is_chosen=called == chosen)
    return FILTERS.get(chosen, ())


def _filter(called: str, count: int, *, is_chosen: bool) -> None:
    """One filter, with the sign of its first reason."""
    sign = FILTERS[called][0] if called in FILTERS else "everyone"
    look: Literal["primary", "secondary"] = "primary" if is_chosen else "secondary"
    st.button(f"{called} {count}", key=f"hl-filter-{sign}", type=look, on_click=_look_for, args=(called,))


def _look_for(called: str) -> None:
    st.session_state[LOOKED_FOR] = called


def _show(card: DrawnCard) -> None:
    """A card, all of it one link to the player."""
    with st.container(key=f"hl-card-{'large' if card.is_large else 'small'}-{card.player_id}"):
        player: Any = {"player": card.player_id}
        st.page_link("views/one_player.py", label=verbatim(card.name), query_params=player)
        st.markdown(card.drawing, unsafe_allow_html=True)


page(
    "Who needs you?",
    "Those who need you most first. A card leads to the player.",
    body,
)
