"""Both dials of one feeder from all its noted landings, under every set of coefficients, each line with a verdict."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np

from models.aiming import Stage
from models.bounds import FASTEST_MPS, SLOWEST_MPS
from models.calibration import Mounting, NotedLandings, speeds_behind, spins_behind
from models.coefficients import ALL_SETS, Coefficients
from models.dial import DialLine, Quantity, fit_dial
from models.feeds import Batch
from models.table import BoolArray, FloatArray

Dial = Literal["speed", "spin"]
CalibrationVerdict = Literal["too_few", "not_explained", "not_clear", "bends", "straight"]

_TO_A_MILLIMETRE = (Stage(1.0, 0.05, 0.1),)
"""Nobody notes a landing more closely."""
_FROM_PARABOLA_TO_A_MILLIMETRE = (Stage(0.5, 0.05, 3.0), *_TO_A_MILLIMETRE)

MOST_UNEXPLAINED = 0.25
"""Setting: of the balls, so many may be left out; more would leave only those that suit the set of coefficients."""
BENT_BELOW_P = 0.05
"""Setting: a straight dial would leave its line as far as that in one calibration of twenty."""


@dataclass(frozen=True)
class NotedBalls(Batch):
    """N noted balls of one feeder, every field (N,); NaN where a number was not noted.

    Where the feeder stood and how its head was tilted, how the dials stood, the spin or speed that is known otherwise,
    and where the ball landed. A ball without a spin setting has the known spin, or none.
    """

    x_cm: FloatArray
    y_cm: FloatArray
    height_cm: FloatArray
    elevation_deg: FloatArray
    speed_setting: FloatArray
    spin_setting: FloatArray
    topspin_rps: FloatArray
    speed_mps: FloatArray
    landing_x_cm: FloatArray
    landing_y_cm: FloatArray

    @property
    def is_for_spin(self) -> BoolArray:
        """Which balls (N,) speak of the spin dial; the others speak of the speed dial."""
        return np.isfinite(self.spin_setting)

    @property
    def mounting(self) -> Mounting:
        """How the feeder stood, ball by ball."""
        return Mounting(self.x_cm, self.y_cm, self.height_cm, self.elevation_deg)


@dataclass(frozen=True)
class Calibration:
    """What the balls say of one dial under one set of coefficients.

    `balls` are those on which the line rests, `unexplained` those that no number explains, or whose speed is not known.
    The verdict: too_few balls or settings; not_explained, where so many are left out that the rest would mislead;
    not_clear, where a step of the dial may as well do nothing; bends, where a straight line is too simple; straight.
    `line` is None in the first two cases.
    """

    dial: Dial
    coefficients: str
    coefficients_version: int
    quantity: Quantity
    balls: int
    settings: int
    unexplained: int
    line: DialLine | None
    verdict: CalibrationVerdict


def calibrate_feeder(
    noted: NotedBalls, sets: Iterable[Coefficients] = ALL_SETS, *, least_balls: int = 6
) -> list[Calibration]:
    """The speed dial and the spin dial under each set. Raises OutOfBounds for numbers that no ball can have."""
    return [calibration for each in sets for calibration in _both_dials(noted, each, least_balls)]


def _both_dials(noted: NotedBalls, coefficients: Coefficients, least_balls: int) -> Iterator[Calibration]:
    plain = noted.take(np.flatnonzero(~noted.is_for_spin))
    speeds_mps = speeds_behind(
        _landings(plain, plain.speed_setting),
        plain.mounting,
        coefficients,
        topspin_rps=np.nan_to_num(plain.topspin_rps),
        stages=_FROM_PARABOLA_TO_A_MILLIMETRE,
    )
    speed = _calibration("speed", plain.speed_setting, speeds_mps, coefficients, least_balls)
    yield speed
    spun = noted.take(np.flatnonzero(noted.is_for_spin))
    yield _calibration("spin", spun.spin_setting, _spins_rps(spun, speed.line, coefficients), coefficients, least_balls)


def _spins_rps(spun: NotedBalls, speed_line: DialLine | None, coefficients: Coefficients) -> FloatArray:
    """The spins (N,) behind the landings: at the speed that was measured, else at that of the speed dial."""
    by_dial_mps = [np.nan if speed_line is None else speed_line.at(setting).value for setting in spun.speed_setting]
    speeds_mps = np.where(np.isnan(spun.speed_mps), by_dial_mps, spun.speed_mps)
    known = np.flatnonzero((speeds_mps >= SLOWEST_MPS) & (speeds_mps <= FASTEST_MPS))
    spins_rps = np.full(speeds_mps.size, np.nan)
    some = spun.take(known)
    spins_rps[known] = spins_behind(
        _landings(some, some.spin_setting),
        some.mounting,
        speeds_mps[known],
        coefficients,
        stages=_TO_A_MILLIMETRE,
    )
    return spins_rps


def _landings(balls: NotedBalls, dial: FloatArray) -> NotedLandings:
    return NotedLandings(dial, balls.landing_x_cm, balls.landing_y_cm)


def _calibration(
    dial: Dial, settings: FloatArray, values: FloatArray, coefficients: Coefficients, least_balls: int
) -> Calibration:
    quantity: Quantity = "speed_mps" if dial == "speed" else "topspin_rps"
    explained = np.isfinite(values)
    balls, unexplained = int(explained.sum()), int((~explained).sum())
    marks = int(np.unique(settings[explained]).size)
    why_not = _why_no_line(balls, unexplained, marks, least_balls)
    line = None if why_not else fit_dial(settings[explained], values[explained], quantity, coefficients.name)
    return Calibration(
        dial=dial,
        coefficients=coefficients.name,
        coefficients_version=coefficients.version,
        quantity=quantity,
        balls=balls,
        settings=marks,
        unexplained=unexplained,
        line=line,
        verdict=_verdict(line) if line else why_not or "too_few",
    )


def _why_no_line(balls: int, unexplained: int, marks: int, least_balls: int) -> CalibrationVerdict | None:
    if balls + unexplained < least_balls:
        return "too_few"
    if unexplained > MOST_UNEXPLAINED * (balls + unexplained):
        return "not_explained"
    return "too_few" if balls < least_balls or marks < 2 else None


def _verdict(line: DialLine) -> CalibrationVerdict:
    if not line.tells_steps:
        return "not_clear"
    return "bends" if line.bend_p_value < BENT_BELOW_P else "straight"
