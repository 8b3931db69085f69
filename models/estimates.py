"""A number with the range in which it plausibly lies."""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Estimate:
    """A number with its interval; NaN for both ends where too few balls were noted to have one."""

    value: float
    low: float
    high: float

    def __neg__(self) -> "Estimate":
        return Estimate(-self.value, -self.high, -self.low)


def estimate(value: float | None, low: float | None, high: float | None) -> Estimate | None:
    """All three of them; None where there were too few balls to tell them."""
    if value is None or low is None or high is None:
        return None
    return Estimate(value, low, high)


@dataclass(frozen=True)
class Span:
    """The least and the most over the sets of coefficients that have such a number."""

    low: float
    high: float

    @property
    def middle(self) -> float:
        """Half-way between the two."""
        return (self.low + self.high) / 2

    @property
    def size(self) -> "Span":
        """The two without their signs, the smaller first."""
        return Span(*sorted((abs(self.low), abs(self.high))))

    @property
    def leaves_open(self) -> bool:
        """Whether it may as well be less as more."""
        return self.low * self.high < 0

    def is_within(self, least: float) -> bool:
        """Whether its middle is less than the least that is worth telling."""
        return abs(self.middle) < least


def values_over_sets(found: Iterable[Estimate]) -> Span:
    """What the sets make of a number, their ranges aside."""
    values = [each.value for each in found]
    return Span(min(values), max(values))


def ranges_over_sets(found: Iterable[Estimate]) -> Span:
    """The ranges of all sets together."""
    given = list(found)
    return Span(min(each.low for each in given), max(each.high for each in given))
