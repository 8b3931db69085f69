"""Who needs you? Every player on one screen, those who need the coach most first."""

from collections.abc import Mapping, Sequence
from typing import Any, cast

import streamlit as st

from dashboard import questions
from dashboard.drawings.balls import Met, met_of
from dashboard.drawings.cells import legend
from dashboard.drawings.player_card import PlayerCard, large_card, small_card
from dashboard.drawings.signs import Hand
from dashboard.questions import Desk
from dashboard.rows.coach import NeedRow
from dashboard.views.frame import page
from dashboard.views.page_choices import weeks_with_players, what_is_this
from dashboard.words import figures
from dashboard.words.needs import FILTERS, TITLES, sentence, short
from dashboard.words.phrases import balls, verbatim
from models.needs import Reason
from models.settings import Settings

EVERYONE = "Everyone"
LARGE = 4
"""So many cards are large: as many as there are in the first line."""


def body(desk: Desk) -> None:
    """The filters, the cards, and what the reasons are."""
    weeks = weeks_with_players(desk)
    if not weeks:
        return
    group = _chosen_group(desk)
    needs = questions.needs(desk, group)
    wanted = _chosen_reasons(needs)
    cells = _cells(desk, group)
    with st.container(key="hl-needs"):
        for place, need in enumerate(_foremost(needs, wanted)):
            is_large = place < LARGE and need.reason != "all_well"
            _show(need, _card(desk, need, cells.get(need.player_id, ()), is_large=is_large), is_large=is_large)
    st.markdown(legend(), unsafe_allow_html=True)
    what_is_this(desk, figures.NEEDS, figures.COVERAGE)


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


def _foremost(needs: Sequence[NeedRow], wanted: tuple[Reason, ...]) -> list[NeedRow]:
    """Of each player the reason that weighs most, of those that are looked for."""
    first: dict[str, NeedRow] = {}
    for need in needs:
        if not wanted or need.reason in wanted:
            first.setdefault(need.player_id, need)
    return sorted(first.values(), key=lambda need: -need.weight)


def _cells(desk: Desk, group: str | None) -> Mapping[str, list[Met]]:
    """What each player met of the wanted balls, in the window that ends with the last week."""
    cells: dict[str, list[Met]] = {}
    for row in questions.coverage(desk, questions.weeks(desk)[0], group=group):
        cells.setdefault(row.player_id, []).append(met_of(row))
    return cells


def _card(desk: Desk, need: NeedRow, cells: Sequence[Met], *, is_large: bool) -> PlayerCard:
    settings, on = questions.settings(desk), questions.last_day(desk)
    words = (sentence if is_large else short)(need, settings, on)
    title = TITLES[cast(Reason, need.reason)]
    return PlayerCard(
        need.name,
        cast(Hand, need.handedness),
        need.reason,
        title,
        words,
        _foot(need, settings, is_large=is_large),
        cells,
    )


def _foot(need: NeedRow, settings: Settings, *, is_large: bool) -> str:
    covered = "no target" if need.cells_wanted is None else f"{need.cells_covered} of {need.cells_wanted} covered"
    return f"{covered} · {balls(need.window_balls)} in {settings.window_days} days" if is_large else covered


def _show(need: NeedRow, card: PlayerCard, *, is_large: bool) -> None:
    """A card, all of it one link to the player."""
    with st.container(key=f"hl-card-{'large' if is_large else 'small'}-{need.player_id}"):
        player: Any = {"player": need.player_id}
        st.page_link("views/one_player.py", label=verbatim(need.name), query_params=player)
        st.markdown((large_card if is_large else small_card)(card), unsafe_allow_html=True)


page(
    "Who needs you?",
    "Those who need you most first. A card leads to the player.",
    body,
)
