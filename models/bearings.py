"""A place or a turn as people tell it: how much, to which side of the player, and from which line of the table."""

from dataclasses import dataclass
from typing import Literal

from models.stance import Place
from models.table import NET_X_CM, TABLE_LENGTH_CM

LEAST_SHIFT_CM = 0.5
"""Nobody measures a place more closely: what lies nearer to a line is on it."""


@dataclass(frozen=True)
class ToSide:
    """How much to a side, as the player sees it: cm or degrees, above 0."""

    size: float
    side: Literal["left", "right"]

    @property
    def other(self) -> Literal["left", "right"]:
        """The same side for who looks at the player."""
        return "left" if self.side == "right" else "right"


@dataclass(frozen=True)
class FromLine:
    """How far a place lies from a line of the table, seen along it."""

    cm: float
    line: Literal["before_feeder_end", "behind_feeder_end", "behind_net", "before_player_end"]


def to_side(signed: float, least: float = 0.0) -> ToSide | None:
    """What a sign means, positive being the player's right; None where it is less than the least worth telling."""
    size = abs(signed)
    return None if size < least or not size else ToSide(size, "right" if signed > 0 else "left")


def shifted(before: Place, after: Place) -> ToSide | None:
    """How far across the table a place lies from where it lay; None where it is the same."""
    return to_side(after.y_cm - before.y_cm, LEAST_SHIFT_CM)


def from_feeder_end(place: Place) -> FromLine | None:
    """How far a feeder stands before or behind its end line; None where it stands on it."""
    if abs(place.x_cm) < LEAST_SHIFT_CM:
        return None
    return FromLine(abs(place.x_cm), "before_feeder_end" if place.x_cm > 0 else "behind_feeder_end")


def from_nearer_line(place: Place) -> FromLine:
    """How far a place on the player's half lies from the net or the end line, whichever is nearer."""
    behind_net_cm, before_end_cm = place.x_cm - NET_X_CM, TABLE_LENGTH_CM - place.x_cm
    if behind_net_cm < before_end_cm:
        return FromLine(behind_net_cm, "behind_net")
    return FromLine(before_end_cm, "before_player_end")
