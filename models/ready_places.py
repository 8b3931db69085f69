"""Nine places of a feeder to begin with: back, middle and near, by the sides of a right-hander.

Common practice, no source: about where clubs put a feeder. Each lies well within its word by the settings that a club
begins with.
"""

from dataclasses import dataclass

from models.words import DEPTH, SIDE

X_CM = {"back": -20.0, "middle": 60.0, "near": 105.0}
Y_CM = {"forehand": 50.0, "centre": 0.0, "backhand": -50.0}


@dataclass(frozen=True)
class ReadyPlace:
    """A place with its code: BC is back centre."""

    depth: str
    side: str

    @property
    def code(self) -> str:
        """Two letters: of the depth and of the side."""
        return f"{self.depth[0]}{self.side[0]}".upper()

    @property
    def name(self) -> str:
        """As a right-hander says it."""
        return f"{self.depth} {self.side}"

    @property
    def x_cm(self) -> float:
        """Towards the player, from the end line opposite."""
        return X_CM[self.depth]

    @property
    def y_cm(self) -> float:
        """To the player's right."""
        return Y_CM[self.side]


READY_PLACES = {
    place.code: place for place in (ReadyPlace(depth, side) for depth in DEPTH.names for side in SIDE.names)
}
