"""What the player meets: the length of the ball by its second bounce, against a claimed length, and the time left."""

from collections.abc import Iterable
from typing import Literal

import numpy as np
import numpy.typing as npt

from models.flight import Flights
from models.settings import HURRIED_S
from models.table import HALF_WIDTH_CM, TABLE_LENGTH_CM, BoolArray, FloatArray

Length = Literal["short", "half_long", "long"]
Verdict = Literal["agrees", "possible", "doubtful"]

HALF_LONG_TOLERANCE_CM = 10.0
"""Setting: a second bounce this near the end line is about on it (no published basis)."""


def length_of(flights: Flights, *, tolerance_cm: float = HALF_LONG_TOLERANCE_CM) -> npt.NDArray[np.str_]:
    """Short, half_long or long for each flight (N,), by where its second bounce falls or would fall; "" without one.

    Short means twice on the table, so a ball that runs off a side line first is long: the player may let it drop.
    """
    past_end_cm = flights.second_x_cm - TABLE_LENGTH_CM
    off_side = np.abs(flights.second_y_cm) > HALF_WIDTH_CM
    return np.select(
        [np.isnan(past_end_cm), off_side | (past_end_cm > tolerance_cm), past_end_cm >= -tolerance_cm],
        ["", "long", "half_long"],
        default="short",
    )


def runs_off_side(flights: Flights) -> BoolArray:
    """Whether the ball (N,) would fall the second time beside the table, not on it or behind it."""
    runs_off: BoolArray = (np.abs(flights.second_y_cm) > HALF_WIDTH_CM) & (flights.second_x_cm <= TABLE_LENGTH_CM)
    return runs_off


def compare_length(claimed: Length, lengths: Iterable[str]) -> Verdict:
    """A claimed length against that of the same feed under each set of coefficients: a doubtful one is to be marked.

    Agrees where all sets say the same as the claim, possible where one does, doubtful where none does.
    """
    agreeing = [length == claimed for length in lengths]
    if agreeing and all(agreeing):
        return "agrees"
    return "possible" if any(agreeing) else "doubtful"


def is_hurried(contact_time_s: FloatArray, limit_s: float = HURRIED_S) -> BoolArray:
    """Whether the time from release to contact (N,) is too short for the feet to react: a drill in anticipation."""
    hurried: BoolArray = contact_time_s < limit_s
    return hurried
