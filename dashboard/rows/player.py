"""What is told of one player's balls: how varied, how successful, how many, and in what order."""

from dataclasses import dataclass
from datetime import date
from typing import cast

from dashboard.rows.building import Words
from models.estimates import Estimate, estimate
from models.spread import Spread


@dataclass(frozen=True, slots=True)
class VarietyRow:
    """How the balls of a window were spread over the grid; figures empty without a target, or with too few balls.

    Combinations for the effective, the dominant and the distinct ones, shares of 1 for `evenness` and `share_to_move`,
    bits for `plan_distance`, nats for `total_correlation`.
    """

    balls_in_grid: int
    cells: int | None
    effective_conditions: float | None
    dominant_conditions: float | None
    evenness: float | None
    distinct_conditions: float | None
    most_distinct_conditions: float | None
    share_to_move: float | None
    plan_distance: float | None
    total_correlation: float | None

    @property
    def spread(self) -> Spread | None:
        """The figures, where there were enough balls for them."""
        distinct = self.dominant_conditions, self.distinct_conditions, self.most_distinct_conditions
        others = (*distinct, self.share_to_move, self.plan_distance, self.total_correlation)
        if self.effective_conditions is None or None in others:
            return None
        return Spread(self.effective_conditions, self.evenness, *cast(tuple[float, ...], others))


@dataclass(frozen=True, slots=True)
class EqualBallsRow:
    """Variety at as many balls as the player of the club with the fewest had: combinations, and a share of 1."""

    equal_balls: int
    expected_conditions: float
    expected_coverage: float


@dataclass(frozen=True, slots=True)
class SuccessRow:
    """Success for one value of a cut, over the window; rates as shares of 1, `rate` empty: too few balls.

    `effective_balls`: single balls that would tell as much.
    """

    value: str
    balls: int
    good: int
    effective_balls: float
    rate: float | None
    low: float | None
    high: float | None
    shrunk_rate: float
    shrunk_low: float
    shrunk_high: float

    @property
    def success(self) -> Estimate | None:
        """The rate with its range."""
        return estimate(self.rate, self.low, self.high)

    @property
    def shrunk(self) -> Estimate:
        """The shrunk rate with its range."""
        return Estimate(self.shrunk_rate, self.shrunk_low, self.shrunk_high)


@dataclass(frozen=True, slots=True)
class WindowRow:
    """Success over the window that ends with a week; shares of 1; empty: no ball, or too few."""

    week: date
    balls: int | None
    rate: float | None
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class WeekRow:
    """What was logged of a player in a week; a week without a log is missing, and its figures are empty.

    `effort_load`: effort (0 to 10) times minutes. `week_change`: of the mean minutes of `weeks_compared` weeks before.
    """

    week: date
    sessions: int
    balls: int | None
    minutes: float | None
    effort_load: float | None
    week_change: float | None
    weeks_compared: int
    guidance_hours: int | None


@dataclass(frozen=True, slots=True)
class NewBallRow:
    """A wanted combination that a player met for the first time, and since when."""

    words: Words
    first_met_on: date
    first_balls: int


@dataclass(frozen=True, slots=True)
class BlockCellRow:
    """Balls of one wanted combination in one drill block of a player."""

    cell: str
    session_id: str
    block: int
    balls: int
    good: int


@dataclass(frozen=True, slots=True)
class SessionRow:
    """Success in one session; the rate as a share of 1, empty: too few balls."""

    session_id: str
    session_date: date
    balls: int
    good: int
    rate: float | None


@dataclass(frozen=True, slots=True)
class ErrorRow:
    """One kind of mistake on one spin: so many of the noted balls, as a share of 1 with its range.

    `outcome_balls` and `all_noted_balls` are those of every spin.
    """

    spin: str
    outcome: str
    balls: int
    noted_balls: int
    outcome_balls: int
    all_noted_balls: int
    share: float
    low: float
    high: float
    stands_out: bool


@dataclass(frozen=True, slots=True)
class OrderRow:
    """In what order the balls of a session came: rates as shares of 1, entropy in bits; empty: too few to tell."""

    session_date: date
    balls: int
    conditions: int
    switch_rate: float | None
    relative_switch_rate: float | None
    conditional_entropy: float | None
    order_seen: str | None
