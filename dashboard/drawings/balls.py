"""A kind of ball as drawings take it: the words that name it, and how far a player has met it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal, cast

from dashboard.rows.coach import CoverageRow
from dashboard.words.phrases import combination
from models.tally import tally
from models.words import COVERAGE_DIMENSIONS, DIMENSION
from models.worth import share_met

State = Literal["covered", "touched", "stale", "empty"]
STATES: tuple[State, ...] = ("covered", "touched", "stale", "empty")


@dataclass(frozen=True)
class StateWords:
    """What the states are called."""

    covered: str
    touched: str
    stale: str
    empty: str

    def __getitem__(self, state: State) -> str:
        word: str = getattr(self, state)
        return word


COACH_WORDS = StateWords("covered", "too few", "not lately", "never met")
PLAYER_WORDS = StateWords("met", "started", "a while ago", "not yet")


DIMENSIONS = DIMENSION.names
"""The words of a ball, in the order of report.coverage."""


@dataclass(frozen=True, init=False)
class Ball:
    """One kind of ball: `Ball(depth="back", spin="topspin")`; a dimension that is not named is None: any."""

    words: tuple[str | None, ...]

    def __init__(self, **named: str | None) -> None:
        if strange := named.keys() - set(DIMENSIONS):
            raise TypeError(f"{', '.join(sorted(strange))}: expected only {', '.join(DIMENSIONS)}")
        object.__setattr__(self, "words", tuple(map(named.get, DIMENSIONS)))

    def __getattr__(self, dimension: str) -> str | None:
        if dimension not in DIMENSIONS:
            raise AttributeError(dimension)
        return self.words[DIMENSIONS.index(dimension)]

    @classmethod
    def of(cls, words: Mapping[str, str | None]) -> "Ball":
        """The ball that a wanted combination describes."""
        return cls(**words)

    @property
    def named(self) -> dict[str, str | None]:
        """Its words by dimension."""
        return dict(zip(DIMENSIONS, self.words, strict=True))

    def value(self, dimension: str) -> str | None:
        """Its word in a dimension."""
        return self.named[dimension]

    def without(self, *dimensions: str) -> "Ball":
        """The same ball, these dimensions not named."""
        return Ball(**self.named | dict.fromkeys(dimensions))

    def in_words(self) -> str:
        """The ball in words: `from the back, forehand side, topspin, slow tempo`."""
        return combination(self.named) or "any ball"


RANKS = {words.name: {word: rank for rank, word in enumerate(words.names)} for words in COVERAGE_DIMENSIONS}
"""Where a word stands in its list."""


@dataclass(frozen=True)
class Met:
    """How far a player has met a kind of ball.

    `share`: balls of those that cover it (0 to 1). `count`: balls in the window.
    """

    ball: Ball
    state: State
    share: float = 0.0
    count: int = 0


def met_of(row: CoverageRow) -> Met:
    """How far a combination was met, as drawings take it."""
    share = share_met(row.balls, row.need_balls)
    return Met(Ball.of(row.words), cast(State, row.status), share, row.balls)


def counted(cells: Iterable[Met], words: StateWords = COACH_WORDS) -> str:
    """How many balls are in which state: `26 of 54 covered, 8 too few, 6 not lately, 14 never met`."""
    states = [cell.state for cell in cells]
    counts = tally(states)
    others = [f"{counts[state]} {words[state]}" for state in STATES[1:] if state in counts]
    return ", ".join([f"{counts.get('covered', 0)} of {len(states)} {words['covered']}", *others])
