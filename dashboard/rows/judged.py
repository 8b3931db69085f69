"""The judgements of one player, and of the club's balls."""

from dataclasses import dataclass
from datetime import date

from models.estimates import Estimate, estimate


@dataclass(frozen=True, slots=True)
class MixRow:
    """A player's success on the wanted mix over the window; shares of 1, the rate empty where there are too few balls.

    `effective_balls`: single balls that would tell as much. `target_share_seen`: of the mix that was met.
    """

    player_id: str
    balls: int
    effective_balls: float
    target_share_seen: float
    rate: float | None
    low: float | None
    high: float | None

    @property
    def success(self) -> Estimate | None:
        """The rate with its range."""
        return estimate(self.rate, self.low, self.high)


@dataclass(frozen=True, slots=True)
class TrendRow:
    """How success went over the judged weeks, for one value of a cut; changes as shares of 1, empty: too few balls."""

    value: str
    sessions: int
    balls: int
    first_on: date
    last_on: date
    change: float | None
    change_low: float | None
    change_high: float | None
    verdict: str

    @property
    def changed(self) -> Estimate | None:
        """The change with its range."""
        return estimate(self.change, self.change_low, self.change_high)


@dataclass(frozen=True, slots=True)
class ThenAndNowRow:
    """Success now beside that of the first whole window, like for like; shares of 1, changes empty: too few balls."""

    then_week: date
    balls: int
    then_balls: int
    target_share_seen: float
    rate: float
    then_rate: float
    change: float | None
    change_low: float | None
    change_high: float | None
    detectable_change: float | None

    @property
    def changed(self) -> Estimate | None:
        """The change with its range."""
        return estimate(self.change, self.change_low, self.change_high)


@dataclass(frozen=True, slots=True)
class VarietyCostRow:
    """What a change of ball costs: the share of 1 lost on the first ball after it; empty: too few balls."""

    first_balls: int
    repeat_balls: int
    cost: float | None
    low: float | None
    high: float | None
    target_share_seen: float
    verdict: str

    @property
    def lost(self) -> Estimate | None:
        """The cost with its range."""
        return estimate(self.cost, self.low, self.high)


@dataclass(frozen=True, slots=True)
class RarelyMetRow:
    """Success on rarely met balls less that on familiar ones, as a share of 1; empty: too few balls."""

    rare_balls: int
    familiar_balls: int
    gap: float | None
    low: float | None
    high: float | None
    verdict: str

    @property
    def surplus(self) -> Estimate | None:
        """The gap with its range."""
        return estimate(self.gap, self.low, self.high)


@dataclass(frozen=True, slots=True)
class SittingRow:
    """One sitting of a test set beside its first; rates and changes as shares of 1, needs before and after."""

    probe: str
    sitting: int
    session_date: date
    days_since_first: int
    balls: int
    good: int
    rate: float
    change: float | None
    change_low: float | None
    change_high: float | None
    detectable_change: float | None
    balls_needed: float | None
    sittings_needed: int | None
    verdict: str

    @property
    def changed(self) -> Estimate | None:
        """The change with its range."""
        return estimate(self.change, self.change_low, self.change_high)


@dataclass(frozen=True, slots=True)
class LikenessRow:
    """How alike the balls of one block, and of one session, are in this club: shares of 1, and on what they rest."""

    likeness: float
    comparisons: int
    is_assumed: bool
    session_likeness: float
    session_comparisons: int
    session_is_assumed: bool
