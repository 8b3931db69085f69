"""A player on a card: the map of balls, and the one reason that weighs most."""

from collections.abc import Sequence
from dataclasses import dataclass

from dashboard.drawings.ball_map import small_map
from dashboard.drawings.balls import Met
from dashboard.drawings.icons import reason
from dashboard.drawings.markup import Markup, element
from dashboard.drawings.signs import Hand, shown

MAP_WIDTH, MAP_HEIGHT = 118, 64


@dataclass(frozen=True)
class PlayerCard:
    """What stands on a card under the name. `reason`: a word of report.needs. `sentence`: or a few words."""

    name: str
    hand: Hand
    reason: str
    title: str
    sentence: str
    foot: str
    cells: Sequence[Met]


def large_card(card: PlayerCard) -> Markup:
    """With the sentence."""
    inside = element("div", _map(card), element("span", card.sentence), class_="hl-card-row")
    return element(
        "div", _why(card, card.title), inside, element("span", card.foot, class_="hl-quiet"), class_="hl-large"
    )


def small_card(card: PlayerCard) -> Markup:
    """In a few words, beside the map."""
    foot = element("span", card.foot, class_="hl-quiet")
    return element("div", _map(card), _why(card, card.sentence), foot, class_="hl-small")


def _map(card: PlayerCard) -> Markup:
    if not card.cells:
        return element("span", class_="hl-no-map")
    return small_map(card.cells, MAP_WIDTH, MAP_HEIGHT, card.hand, name=card.name)


def _why(card: PlayerCard, words: str) -> Markup:
    well = " hl-well" if card.reason == "all_well" else ""
    return element("span", shown(reason(card.reason)), element("span", words), class_=f"hl-why{well}")
