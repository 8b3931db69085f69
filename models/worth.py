"""What one more block of a wanted ball is worth for a player: how much nearer the plan it brings them.

Whoever chooses blocks, for one player or for a hall, asks `Shortfall.worth` before each choice, divides by the minutes,
and goes on with `Shortfall.after`, for what is fed once is worth less the next time.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import combinations

from models.settings import Settings

FASTEST_BPM, SLOWEST_BPM = 200.0, 1.0
"""The bounds of a tempo in the log."""

Words = Mapping[str, str | None]
Cell = tuple[tuple[str, str], ...]
Pair = tuple[tuple[str, str], tuple[str, str]]


@dataclass(frozen=True)
class Wanted:
    """A combination of a player's target, and how the player stands to it on a day.

    `words` say what is wanted of each dimension (None: any) and `share` how much of all balls should be so (0 to 1).
    `balls` were fed in the window that ends on the day, the last `days_since` days ago (None: never yet). `is_weak`:
    the player succeeds on it clearly less than is expected.
    """

    words: Words
    share: float
    balls: int
    days_since: int | None
    is_weak: bool = False

    @property
    def cell(self) -> Cell:
        """Which combination it is."""
        return cell_of(self.words)


def cell_of(words: Words) -> Cell:
    """The named dimensions of a combination with their words."""
    return tuple(sorted((dimension, word) for dimension, word in words.items() if word is not None))


def pairs_of(cell: Cell) -> tuple[Pair, ...]:
    """Every two values that a combination brings together."""
    return tuple(combinations(cell, 2))


@dataclass(frozen=True)
class Shortfall:
    """A player before a block: what of the target is missing, and how urgent it is.

    `missing` is how far each combination is from being done, and `pair_balls` how many balls each pair of values had
    in the window. Both are carried forward by `after`; the weights stay those of the day.
    """

    weights: Mapping[Cell, float]
    missing: Mapping[Cell, float]
    pair_balls: Mapping[Pair, int]
    covered_balls: int

    @classmethod
    def on_a_day(cls, wanted: Iterable[Wanted], settings: Settings) -> Shortfall:
        """How a player stands to all that the target wants, covered or not.

        A combination weighs its wanted share for every window that has passed since it was last met: what waits long
        comes up in the end, however small its share. One never met has waited as long as any, and weighs the largest
        share beside its own, so that no other is fed again before it. One that is not wanted weighs nothing. A weak
        one counts as if all its balls were missing, though it is covered.
        """
        cells = {one.cell: one for one in wanted}
        waited = {cell: _windows_waited(one, settings) for cell, one in cells.items()}
        longest = max(waited.values(), default=1.0)
        largest = max((one.share for one in cells.values()), default=0.0)
        weights = {
            cell: one.share * waited[cell] if one.days_since is not None else _never_met(one.share, largest) * longest
            for cell, one in cells.items()
        }
        missing = {cell: _missing(one, settings.covered_balls) for cell, one in cells.items()}
        pair_balls: dict[Pair, int] = {}
        for cell, one in cells.items():
            for pair in pairs_of(cell):
                pair_balls[pair] = pair_balls.get(pair, 0) + one.balls
        return cls(weights, missing, pair_balls, settings.covered_balls)

    def worth(self, cell: Cell, balls: int) -> float:
        """What so many more balls of a combination are worth; 0 where they bring the player no nearer the plan.

        The sum of two shares of what is wanted: of the combinations, by weight and by what these balls add to them;
        and of all pairs of values, each as much as the other, by what they add to those not covered yet (two-way
        coverage, NISTIR 7878). That both sums count alike is a setting without a published basis.
        """
        return self.worth_alone(cell, balls) + sum(self.worth_of_pair(pair, balls) for pair in pairs_of(cell))

    def worth_alone(self, cell: Cell, balls: int) -> float:
        """The first of the two shares: of the combinations."""
        return min(balls / self.covered_balls, self.missing.get(cell, 0.0)) * self.weights.get(cell, 0.0)

    def worth_of_pair(self, pair: Pair, balls: int) -> float:
        """What so many balls of any combination that holds a pair add to the second share."""
        lacking = self.covered_balls - self.pair_balls.get(pair, self.covered_balls)
        return max(min(balls, lacking), 0) / (self.covered_balls * max(len(self.pair_balls), 1))

    def met_together(self, cell: Cell) -> int:
        """How many balls brought two values of this combination together, summed over its pairs: fewer, more novel."""
        return sum(self.pair_balls.get(pair, 0) for pair in pairs_of(cell))

    def after(self, cell: Cell, balls: int) -> Shortfall:
        """The same player once so many balls of a combination were fed."""
        missing = max(self.missing.get(cell, 0.0) - balls / self.covered_balls, 0.0)
        more = {pair: self.pair_balls[pair] + balls for pair in pairs_of(cell) if pair in self.pair_balls}
        return replace(self, missing={**self.missing, cell: missing}, pair_balls={**self.pair_balls, **more})


def _windows_waited(one: Wanted, settings: Settings) -> float:
    return max((one.days_since or 0) / settings.window_days, 1.0)


def _never_met(share: float, largest: float) -> float:
    return share + largest if share > 0 else 0.0


def _missing(one: Wanted, covered_balls: int) -> float:
    missing = max(covered_balls - one.balls, 0) / covered_balls
    return 1.0 if one.is_weak and not missing else missing


def share_met(balls: int, need_balls: int) -> float:
    """Balls that were fed, of those that cover a combination (share of 1)."""
    covering = balls + need_balls
    return balls / covering if covering else 1.0


def block_balls(need_balls: int, settings: Settings) -> int:
    """How many balls a block of one kind gets: what is missing, and no fewer than a block is worth setting up for."""
    return max(need_balls, settings.planned_balls)


def block_minutes(balls: int, tempo_band: str | None, settings: Settings) -> float:
    """How long a block of one kind takes, with its pause; without a move of the feeder."""
    return balls / assumed_bpm(tempo_band, settings) + settings.block_pause_minutes


def band_of(tempo_bpm: float, settings: Settings) -> str:
    """The band of a tempo (balls/min), by the limits in the settings."""
    if tempo_bpm < settings.slow_below_bpm:
        return "slow"
    return "medium" if tempo_bpm < settings.fast_from_bpm else "fast"


def assumed_bpm(tempo_band: str | None, settings: Settings) -> float:
    """A tempo well within a band; the middle one where the target leaves it open (assumed, no published basis)."""
    slow, fast = settings.slow_below_bpm, settings.fast_from_bpm
    if tempo_band == "slow":
        return max(SLOWEST_BPM, 0.75 * slow)
    return min(FASTEST_BPM, 1.25 * fast) if tempo_band == "fast" else (slow + fast) / 2
