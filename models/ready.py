"""The cone of balls that may come from a place, and where to be ready for them.

A ball played to where the feeder stands invites returns from there; seen from that place, the player's half spans a
cone. Tennis players stand on its angle bisector (Benguigui et al., Sci. Rep. 14, 2024, 3364, after Cochet 1933); for
table tennis that is an assumption. The other definition, the middle of what must be reached, is offered by name.
"""

from dataclasses import dataclass
from math import atan2, degrees, radians, tan
from typing import Literal

from models.bounds import TargetOffTable, check_feeder
from models.stance import Place
from models.table import HALF_WIDTH_CM, NET_X_CM, TABLE_LENGTH_CM

READY_BEHIND_END_CM = 50.0
READY_LINE_CM = TABLE_LENGTH_CM + READY_BEHIND_END_CM
"""Setting: the line, 50 cm behind the end line, along which the player moves."""

SHORT_ANGLES_CM = 35.0
"""Setting: how far behind the net the shortest balls land where short angles count (common practice, no source)."""

ReadyDefinition = Literal["angle_bisector", "equal_reach"]


@dataclass(frozen=True)
class Cone:
    """The directions of balls from a place, as yaws between the player's far left and far right."""

    apex: Place
    left_deg: float
    right_deg: float

    @property
    def width_deg(self) -> float:
        """The angle to be covered."""
        return self.right_deg - self.left_deg

    @property
    def bisector_deg(self) -> float:
        """The direction with as much angle on either side."""
        return (self.left_deg + self.right_deg) / 2

    def y_cm(self, direction_deg: float, line_cm: float = READY_LINE_CM) -> float:
        """Where a ball in this direction passes the line of the player."""
        return self.apex.y_cm + (line_cm - self.apex.x_cm) * tan(radians(direction_deg))

    def reach_cm(self, line_cm: float = READY_LINE_CM) -> tuple[float, float]:
        """From where to where on the line of the player balls may pass."""
        return self.y_cm(self.left_deg, line_cm), self.y_cm(self.right_deg, line_cm)


def cone_of_returns(apex: Place, *, shortest_behind_net_cm: float | None = None) -> Cone:
    """The cone from a place to the player's far corners; wider where short angles count, from so far behind the net on.

    Raises FeederBeyondHall; TargetOffTable where the shortest ball would not land on the player's half, or where the
    place is not in front of all that is aimed at.
    """
    check_feeder(apex.x_cm, apex.y_cm)
    nearest_cm = TABLE_LENGTH_CM if shortest_behind_net_cm is None else NET_X_CM + shortest_behind_net_cm
    if not max(NET_X_CM, apex.x_cm) < nearest_cm <= TABLE_LENGTH_CM:
        raise TargetOffTable(
            f"From x {apex.x_cm:g} cm no cone opens to balls that land {nearest_cm - NET_X_CM:g} cm behind the net. "
            f"Give a distance of just over 0 to {TABLE_LENGTH_CM - NET_X_CM:g} cm, and a place in front of it."
        )
    bearings = [
        degrees(atan2(side * HALF_WIDTH_CM - apex.y_cm, depth_cm - apex.x_cm))
        for depth_cm in (nearest_cm, TABLE_LENGTH_CM)
        for side in (-1, 1)
    ]
    return Cone(apex, min(bearings), max(bearings))


def ready_position(cone: Cone, definition: ReadyDefinition = "angle_bisector", line_cm: float = READY_LINE_CM) -> Place:
    """Where to be ready on the line of the player, by the angle bisector or by equal reach to both sides."""
    if definition == "angle_bisector":
        return Place(line_cm, cone.y_cm(cone.bisector_deg, line_cm))
    return Place(line_cm, sum(cone.reach_cm(line_cm)) / 2)
