"""Many balls in free motion at once: Runge-Kutta steps, and the moments when something happens between them.

Arrays: N balls; position and velocity (3, N) in the axes of `models.table`, in metres and metres a second.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from models.table import BoolArray, FloatArray, IntArray

X, Y, Z = 0, 1, 2
STEP_S = 0.02
"""Moves no landing by more than a hundredth of a millimetre against steps sixteen times as short."""
LONGEST_FLIGHT_S = 3.0
"""Longer than any ball stays up that keeps below a hall's ceiling."""

Acceleration = Callable[[FloatArray], FloatArray]
"""From velocity (3, N) to acceleration (3, N): nothing that acts on a ball here depends on where it is."""


class Moment(NamedTuple):
    """One moment per ball: time since its release (N,), position and velocity (3, N); NaN where it never comes."""

    time_s: FloatArray
    position_m: FloatArray
    velocity_mps: FloatArray

    def until(self, end: "Moment") -> "Moment":
        """The moments that do not come after the end; the last step of a track goes on beyond it."""
        in_time = self.time_s <= end.time_s
        return Moment(*(np.where(in_time, part, np.nan) for part in self))


def advance(
    acceleration: Acceleration, position_m: FloatArray, velocity_mps: FloatArray, step_s: float | FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Position and velocity (3, N) one step later, by the classical Runge-Kutta method of order four."""
    first = acceleration(velocity_mps)
    early_mps = velocity_mps + step_s / 2 * first
    second = acceleration(early_mps)
    middle_mps = velocity_mps + step_s / 2 * second
    third = acceleration(middle_mps)
    late_mps = velocity_mps + step_s * third
    fourth = acceleration(late_mps)
    return (
        position_m + step_s / 6 * (velocity_mps + 2 * early_mps + 2 * middle_mps + late_mps),
        velocity_mps + step_s / 6 * (first + 2 * second + 2 * third + fourth),
    )


@dataclass(frozen=True)
class Track:
    """Balls followed step by step: positions and velocities (K, 3, N), K - 1 steps on from start_s (N,)."""

    acceleration: Acceleration
    start_s: FloatArray
    step_s: float
    position_m: FloatArray
    velocity_mps: FloatArray

    def crossing(self, axis: int, level_m: float, *, falling: bool = False) -> Moment:
        """When each ball first passes a level upwards along an axis (downwards if falling)."""
        sign = -1.0 if falling else 1.0
        gap_m = sign * (self.position_m[:, axis] - level_m)
        step = _first_true((gap_m[:-1] < 0) & (gap_m[1:] >= 0))
        before, after = _at_both_ends(gap_m, step)
        slope_before, slope_after = _at_both_ends(sign * self.step_s * self.velocity_mps[:, axis], step)
        return self._moment(step, _cubic_root(before, after, slope_before, slope_after))

    def top(self) -> Moment:
        """When each ball first stops rising; NaN for one that never rose."""
        rise_mps = self.velocity_mps[:, Z]
        step = _first_true((rise_mps[:-1] > 0) & (rise_mps[1:] <= 0))
        before, after = _at_both_ends(rise_mps, step)
        return self._moment(step, before / np.where(step < 0, 1.0, before - after))

    def points_until(self, end: Moment) -> FloatArray:
        """The way of the first ball (K, 3) up to a moment of it."""
        times_s = self.start_s[0] + self.step_s * np.arange(len(self.position_m))
        return np.vstack([self.position_m[times_s < end.time_s[0], :, 0], end.position_m[:, 0]])

    def _moment(self, step: IntArray, share: FloatArray) -> Moment:
        """The state a share of a step after its start, by one shorter Runge-Kutta step: as good as the steps."""
        never = step < 0
        ball = np.arange(step.size)
        start = np.where(never, 0, step)
        share = np.where(never, np.nan, share)
        position_m, velocity_mps = self.position_m[start, :, ball].T, self.velocity_mps[start, :, ball].T
        since_start_s = (start + share) * self.step_s
        return Moment(
            self.start_s + since_start_s, *advance(self.acceleration, position_m, velocity_mps, share * self.step_s)
        )


def fly(
    acceleration: Acceleration,
    start: Moment,
    is_done: Callable[[FloatArray], BoolArray],
    step_s: float = STEP_S,
) -> Track:
    """Follow the balls from a moment until all are done, as is_done says of positions (3, N), or out of time."""
    positions, velocities = [start.position_m], [start.velocity_mps]
    for _ in range(round(LONGEST_FLIGHT_S / step_s)):
        position, velocity = advance(acceleration, positions[-1], velocities[-1], step_s)
        positions.append(position)
        velocities.append(velocity)
        if is_done(position).all():
            break
    return Track(acceleration, start.time_s, step_s, np.stack(positions), np.stack(velocities))


def _first_true(happens: BoolArray) -> IntArray:
    """The first row (N,) that is true in each column (K, N); -1 where none is."""
    return np.where(happens.any(axis=0), happens.argmax(axis=0), -1)


def _at_both_ends(values: FloatArray, step: IntArray) -> tuple[FloatArray, FloatArray]:
    ball = np.arange(step.size)
    start = np.maximum(step, 0)
    return values[start, ball], values[start + 1, ball]


def _cubic_root(before: FloatArray, after: FloatArray, slope_before: FloatArray, slope_after: FloatArray) -> FloatArray:
    """Where in its step (0 to 1) a value reaches zero: Newton on the cubic with these ends and slopes, from the chord.

    A linear root would err by millimetres at twenty milliseconds a step; the cubic errs by a micrometre.
    """
    square = 3 * (after - before) - 2 * slope_before - slope_after
    cube = 2 * (before - after) + slope_before + slope_after
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.clip(before / (before - after), 0, 1)
        for _ in range(5):
            value = before + share * (slope_before + share * (square + share * cube))
            slope = slope_before + share * (2 * square + share * 3 * cube)
            share = np.clip(share - value / slope, 0, 1)
    return share
