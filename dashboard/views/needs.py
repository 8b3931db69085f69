"""Who needs you? Every player on one screen, those who need the coach most first."""

from collections.abc import Sequence
from typing import Any

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
    players = {need.player_id for need in needs}
    told = {EVERYONE: f"{EVERYONE} {len(players)}"}
    for called, reasons in FILTERS.items():
        count = len({need.player_id for need in needs if need.reason in reasons})
        if count:
            told[called] = f"{called} {count}"
    chosen = st.pills(
        "Why", list(told), default=EVERYONE, required=True, format_func=told.__getitem__, label_visibility="collapsed"
    )
    return FILTERS.get(chosen, ())


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
