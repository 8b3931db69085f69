"""The Laws' measures of table, net and ball, and the space around them: their one home.

Numbers in brackets are those of the ITTF Laws of Table Tennis (Handbook, part 2). The origin used everywhere is the
middle of the end line opposite the player, at the height of the playing surface: x runs towards the player, y to the
player's right, z up (a right-handed system).
"""

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]
BoolArray = npt.NDArray[np.bool_]

TABLE_LENGTH_CM = 274.0
"""(2.1.1) The lines belong to the playing surface, its vertical sides do not (2.1.2)."""
TABLE_WIDTH_CM = 152.5
"""(2.1.1)"""
TABLE_HEIGHT_CM = 76.0
"""(2.1.1) Of the playing surface above the floor."""
LINE_WIDTH_CM = 2.0
"""(2.1.4) Side lines and end lines."""
NET_OVERHANG_CM = 15.25
"""(2.2.2) The outside of a post beyond the side line."""
NET_HEIGHT_CM = 15.25
"""(2.2.3) Above the playing surface, along its whole length."""
BALL_DIAMETER_MM = 40.0
"""(2.3.1)"""
BALL_MASS_G = 2.7
"""(2.3.2)"""

NET_X_CM = TABLE_LENGTH_CM / 2
HALF_WIDTH_CM = TABLE_WIDTH_CM / 2
NET_HALF_SPAN_CM = HALF_WIDTH_CM + NET_OVERHANG_CM

PLAYING_SPACE_LENGTH_CM = 1400.0
"""Playing space for competition (ITTF Regulations, seen second-hand): 14 x 7 m, 5 m high, the table in the middle."""
PLAYING_SPACE_WIDTH_CM = 700.0
PLAYING_SPACE_HEIGHT_CM = 500.0


def is_on_table(x_cm: FloatArray, y_cm: FloatArray) -> BoolArray:
    """Whether points (N,) lie on the playing surface, lines included (2.1.2, 2.1.4). A missing point does not."""
    on_surface: BoolArray = (x_cm >= 0) & (x_cm <= TABLE_LENGTH_CM) & (np.abs(y_cm) <= HALF_WIDTH_CM)
    return on_surface
