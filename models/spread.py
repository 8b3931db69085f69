"""How balls were spread over the grid of a target."""

from dataclasses import dataclass
from math import exp


@dataclass(frozen=True)
class Spread:
    """The figures of report.variety where there were enough balls for them.

    Combinations for the effective, dominant and distinct ones, shares of 1 for `evenness` (None: one combination only)
    and `share_to_move`, bits for `plan_distance`, nats for `total_correlation`.
    """

    effective_conditions: float
    evenness: float | None
    dominant_conditions: float
    distinct_conditions: float
    most_distinct_conditions: float
    share_to_move: float
    plan_distance: float
    total_correlation: float

    @property
    def freely_combined(self) -> float:
        """Combinations that the same shares of single values would make, were they combined freely (Watanabe 1960)."""
        return self.effective_conditions * exp(self.total_correlation)
