"""What a feeder's dial means: a straight line from dial to speed, or to spin, with its uncertainty.

The line holds for one feeder, one dial and one set of coefficients. Its interval is that of the noted balls; the range
over the sets is another uncertainty, and for spin the greater one.
"""

from dataclasses import dataclass
from math import nan, sqrt
from typing import Literal

import numpy as np
from scipy import special

from models.bounds import TooFewNotes
from models.estimates import Estimate
from models.table import FloatArray

Quantity = Literal["speed_mps", "topspin_rps"]


@dataclass(frozen=True)
class DialLine:
    """quantity = intercept + slope * dial, by least squares over single balls.

    `bend_p_value`: how likely the mean landings would leave the line so far if the dial were straight (lack-of-fit F
    test); NaN where fewer than three settings, or no two balls of one setting, were noted.
    """

    quantity: Quantity
    coefficients: str
    balls: int
    lowest_dial: float
    highest_dial: float
    intercept: float
    slope: float
    intercept_variance: float
    slope_variance: float
    covariance: float
    bend_p_value: float
    confidence: float

    @property
    def marks(self) -> tuple[float, float, float]:
        """The lowest and the highest setting that were noted, and half-way between them."""
        return self.lowest_dial, (self.lowest_dial + self.highest_dial) / 2, self.highest_dial

    @property
    def step(self) -> Estimate:
        """What one step of the dial changes, with its interval."""
        return self._estimate(self.slope, self.slope_variance)

    @property
    def tells_steps(self) -> bool:
        """Whether the balls tell what a step of the dial does: its interval, if there is one, leaves out nothing."""
        return self.slope != 0 and not self.step.low <= 0 <= self.step.high

    def covers(self, dial: float) -> bool:
        """Whether balls were noted at settings on both sides of this one; beyond them the line is a guess."""
        return self.lowest_dial <= dial <= self.highest_dial

    def at(self, dial: float) -> Estimate:
        """The quantity at a setting of the dial, with the interval of its mean."""
        variance = self.intercept_variance + 2 * dial * self.covariance + dial**2 * self.slope_variance
        return self._estimate(self.intercept + self.slope * dial, variance)

    def dial_for(self, value: float) -> float:
        """The setting that gives a value of the quantity. Raises TooFewNotes where the dial seems to do nothing."""
        self._check_slope()
        return (value - self.intercept) / self.slope

    def steps_for(self, change_percent: float, dial: float) -> Estimate:
        """How many steps of the dial change the quantity by so much from what it is at this setting.

        The interval is by the delta method. Raises TooFewNotes where the dial seems to do nothing.
        """
        self._check_slope()
        share, ratio = change_percent / 100, self.intercept / self.slope
        ratio_variance = (
            self.intercept_variance - 2 * ratio * self.covariance + ratio**2 * self.slope_variance
        ) / self.slope**2
        return self._estimate(share * (ratio + dial), share**2 * ratio_variance)

    def _estimate(self, value: float, variance: float) -> Estimate:
        half = self._quantile() * sqrt(max(variance, 0.0)) if self.balls > 2 else nan
        return Estimate(value, value - half, value + half)

    def _quantile(self) -> float:
        return float(special.stdtrit(self.balls - 2, (1 + self.confidence) / 2))

    def _check_slope(self) -> None:
        if not self.tells_steps:
            raise TooFewNotes(
                f"From {self.balls} noted balls at settings {self.lowest_dial:g} to {self.highest_dial:g} it cannot be "
                "told what a step of the dial does. Note more balls, or settings further apart."
            )


def fit_dial(
    dial: FloatArray, values: FloatArray, quantity: Quantity, coefficients: str, *, confidence: float = 0.95
) -> DialLine:
    """The line through one value per ball (N,). Raises TooFewNotes where the dial stood at fewer than two settings."""
    if np.unique(dial).size < 2:
        raise TooFewNotes(
            f"{dial.size} balls are noted, all at one setting of the dial. Note landings at two settings or more."
        )
    middle = dial.mean()
    spread = ((dial - middle) ** 2).sum()
    slope = ((dial - middle) * values).sum() / spread
    intercept = values.mean() - slope * middle
    residual_square = ((values - intercept - slope * dial) ** 2).sum()
    noise = residual_square / (dial.size - 2) if dial.size > 2 else nan
    return DialLine(
        quantity=quantity,
        coefficients=coefficients,
        balls=int(dial.size),
        lowest_dial=float(dial.min()),
        highest_dial=float(dial.max()),
        intercept=float(intercept),
        slope=float(slope),
        intercept_variance=float(noise * (1 / dial.size + middle**2 / spread)),
        slope_variance=float(noise / spread),
        covariance=float(-middle * noise / spread),
        bend_p_value=_bend_p_value(dial, values, float(residual_square)),
        confidence=confidence,
    )


def _bend_p_value(dial: FloatArray, values: FloatArray, residual_square: float) -> float:
    settings, setting = np.unique(dial, return_inverse=True)
    bend_freedom, scatter_freedom = settings.size - 2, dial.size - settings.size
    if bend_freedom < 1 or scatter_freedom < 1:
        return nan
    setting_means = np.bincount(setting, values) / np.bincount(setting)
    scatter_square = float(((values - setting_means[setting]) ** 2).sum())
    if scatter_square == 0:
        return nan
    ratio = ((residual_square - scatter_square) / bend_freedom) / (scatter_square / scatter_freedom)
    return float(special.fdtrc(bend_freedom, scatter_freedom, ratio))
