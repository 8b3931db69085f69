"""The cards of all who need the coach, drawn once for everybody who sees the same players."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import cast

from dashboard import questions
from dashboard.drawings.balls import Met, met_of
from dashboard.drawings.markup import Markup
from dashboard.drawings.player_card import PlayerCard, large_card, small_card
from dashboard.drawings.signs import Hand
from dashboard.questions import Desk
from dashboard.rows.coach import NeedRow
from dashboard.words.needs import TITLES, sentence, short
from dashboard.words.phrases import balls
from models.needs import Reason
from models.settings import Settings

LARGE = 4
"""So many cards are large: as many as there are in the first line."""


@dataclass(frozen=True)
class DrawnCard:
    """A card as it is shown, and whose it is."""

    player_id: str
    name: str
    drawing: Markup
    is_large: bool


def drawn_cards(desk: Desk, group: str | None, wanted: tuple[Reason, ...]) -> tuple[DrawnCard, ...]:
    """Of each player the reason that weighs most, of those that are looked for; who needs the coach most comes first.

    `group`: None is everyone; `wanted`: empty is any reason.
    """
    cells = _cells(desk, group)
    foremost = _foremost(questions.needs(desk, group), wanted)
    return tuple(_drawn(desk, place, need, cells.get(need.player_id, ())) for place, need in enumerate(foremost))


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


def _drawn(desk: Desk, place: int, need: NeedRow, cells: Sequence[Met]) -> DrawnCard:
    is_large = place < LARGE and need.reason != "all_well"
    card = _card(desk, need, cells, is_large=is_large)
    return DrawnCard(need.player_id, need.name, (large_card if is_large else small_card)(card), is_large)


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
