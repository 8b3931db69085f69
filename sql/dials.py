"""The dials of a feeder, as they are marked."""

from dataclasses import dataclass
from typing import Literal

Dial = Literal["speed", "spin"]


@dataclass(frozen=True)
class Dials:
    """The range of a feeder's dials, as they are marked; None for both ends of a spin dial that it has not."""

    speed_lowest: float
    speed_highest: float
    spin_lowest: float | None = None
    spin_highest: float | None = None

    def range_of(self, dial: Dial) -> tuple[float | None, float | None]:
        """The lowest and the highest mark of one of the dials."""
        return (self.speed_lowest, self.speed_highest) if dial == "speed" else (self.spin_lowest, self.spin_highest)
