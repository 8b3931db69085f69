"""A number with the range in which it plausibly lies."""

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
