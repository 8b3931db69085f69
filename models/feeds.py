"""What a feeder gives a ball on its way, and what a coach wants of it: place, speed, direction, spin and target."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import tau
from typing import Self

import numpy as np
import numpy.typing as npt

from models.bounds import (
    FASTEST_MPS,
    MOST_SPIN_RPS,
    STEEPEST_DEG,
    check_clearance,
    check_launch,
    check_release,
    check_spin,
    check_target,
)
from models.motion import Moment
from models.table import BoolArray, FloatArray, IntArray


class Batch:
    """N things of one kind, column by column: a frozen dataclass whose every field is (N,)."""

    @classmethod
    def of(cls, **numbers: npt.ArrayLike) -> Self:
        """From single numbers and arrays, each named as its field; a single number holds for the whole batch."""
        columns = np.broadcast_arrays(*(np.atleast_1d(np.asarray(column, dtype=float)) for column in numbers.values()))
        return cls(**dict(zip(numbers, columns, strict=True)))

    def take(self, places: IntArray) -> Self:
        """Some of the batch by place (M,), each as often as it is named."""
        return self._each(lambda column: column[places])

    def put(self, places: IntArray, others: Self) -> Self:
        """The batch with others (M,) in these places."""
        return self._with(others, lambda own, other: _put(own, places, other))

    def filled(self, others: Self) -> Self:
        """The batch with others (N,) where it has NaN."""
        return self._with(others, lambda own, other: np.where(np.isnan(own), other, own))

    def blanked(self, where: BoolArray) -> Self:
        """The batch with NaN in every column of some (N,): things that cannot be."""
        return self._each(lambda column: np.where(where, np.nan, column))

    def _each(self, change: Callable[[FloatArray], FloatArray]) -> Self:
        return type(self)(**{name: change(column) for name, column in vars(self).items()})

    def _with(self, others: Self, change: Callable[[FloatArray, FloatArray], FloatArray]) -> Self:
        return type(self)(**{name: change(column, vars(others)[name]) for name, column in vars(self).items()})


def _put(column: FloatArray, places: IntArray, others: FloatArray) -> FloatArray:
    changed = column.copy()
    changed[places] = others
    return changed


@dataclass(frozen=True)
class Feeds(Batch):
    """A batch of N feeds, every field (N,).

    Place of the ball's centre at release in cm (axes of `models.table`), speed in m/s, elevation above the level, yaw
    (0 along the table, positive to the player's right). Spin in turns a second: topspin about the level axis across the
    feed, negative for backspin; sidespin about the upright axis, positive where the ball curves to the player's right.
    """

    x_cm: FloatArray
    y_cm: FloatArray
    height_cm: FloatArray
    speed_mps: FloatArray
    elevation_deg: FloatArray
    yaw_deg: FloatArray
    topspin_rps: FloatArray
    sidespin_rps: FloatArray

    def check(self) -> None:
        """Raises OutOfBounds, naming the first number that no feed can have."""
        check_release(self.x_cm, self.y_cm, self.height_cm)
        check_launch(self.speed_mps, self.elevation_deg)
        check_spin(self.topspin_rps, self.sidespin_rps)

    @property
    def is_possible(self) -> BoolArray:
        """Whether speed, elevation and topspin of each lie within what any feeder or player gives."""
        return np.asarray(
            (self.speed_mps <= FASTEST_MPS)
            & (np.abs(self.elevation_deg) <= STEEPEST_DEG)
            & (np.abs(self.topspin_rps) <= MOST_SPIN_RPS)
        )

    def release(self) -> Moment:
        """The balls in the axes of the table as they leave the feeder, in metres and seconds."""
        elevation, yaw = np.radians(self.elevation_deg), np.radians(self.yaw_deg)
        level_mps = self.speed_mps * np.cos(elevation)
        velocity_mps = np.stack([level_mps * np.cos(yaw), level_mps * np.sin(yaw), self.speed_mps * np.sin(elevation)])
        return Moment(np.zeros_like(self.x_cm), np.stack([self.x_cm, self.y_cm, self.height_cm]) / 100, velocity_mps)

    def spin_rad_s(self) -> FloatArray:
        """The spin vector (3, N). Topspin turns about the level axis, up x direction of the feed."""
        yaw = np.radians(self.yaw_deg)
        return tau * np.stack([-self.topspin_rps * np.sin(yaw), self.topspin_rps * np.cos(yaw), self.sidespin_rps])


@dataclass(frozen=True)
class WantedFeeds(Batch):
    """N feeds as a coach thinks of them, every field (N,): from where, to where, how far over the net, with what spin.

    Places in cm in the axes of `models.table`; the clearance is the gap under the ball; spins as in Feeds.
    """

    x_cm: FloatArray
    y_cm: FloatArray
    height_cm: FloatArray
    target_x_cm: FloatArray
    target_y_cm: FloatArray
    net_clearance_cm: FloatArray
    topspin_rps: FloatArray
    sidespin_rps: FloatArray

    def moved_to(self, x_cm: float, y_cm: float, height_cm: float) -> Self:
        """The same balls wanted from another place."""
        everywhere = np.ones_like(self.x_cm)
        return replace(self, x_cm=x_cm * everywhere, y_cm=y_cm * everywhere, height_cm=height_cm * everywhere)

    def check(self) -> None:
        """Raises OutOfBounds, naming the first number that no feed can have."""
        check_release(self.x_cm, self.y_cm, self.height_cm)
        check_target(self.target_x_cm, self.target_y_cm)
        check_clearance(self.net_clearance_cm)
        check_spin(self.topspin_rps, self.sidespin_rps)

    @property
    def distance_cm(self) -> FloatArray:
        """From the release to the target, seen from above."""
        return np.hypot(self.target_x_cm - self.x_cm, self.target_y_cm - self.y_cm)

    @property
    def yaw_deg(self) -> FloatArray:
        """The direction of the target; the exact yaw of a ball without sidespin, which stays in its upright plane."""
        return np.degrees(np.arctan2(self.target_y_cm - self.y_cm, self.target_x_cm - self.x_cm))
