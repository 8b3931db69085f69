"""The Laws' measures, and which points belong to the table."""

from math import hypot

import numpy as np
import pytest

from models import table


@pytest.mark.parametrize(
    ("expected", "measure"),
    [
        (274.0, table.TABLE_LENGTH_CM),
        (152.5, table.TABLE_WIDTH_CM),
        (76.0, table.TABLE_HEIGHT_CM),
        (2.0, table.LINE_WIDTH_CM),
        (15.25, table.NET_OVERHANG_CM),
        (15.25, table.NET_HEIGHT_CM),
        (40.0, table.BALL_DIAMETER_MM),
        (2.7, table.BALL_MASS_G),
    ],
)
def test_the_measures_are_those_of_the_laws(expected, measure):
    """ITTF Laws of Table Tennis 2.1.1 to 2.3.2."""
    assert expected == measure


def test_the_diagonal_of_the_table_is_3136_mm():
    """From the sides 2.74 m and 1.525 m (Laws 2.1.1) by Pythagoras."""
    assert hypot(table.TABLE_LENGTH_CM, table.TABLE_WIDTH_CM) == pytest.approx(313.58, abs=0.01)


def test_the_net_reaches_91_and_a_half_cm_to_either_side():
    """Half the table and the overhang of the posts (Laws 2.1.1, 2.2.2)."""
    assert table.NET_HALF_SPAN_CM == 91.5


def test_the_lines_belong_to_the_table_and_nothing_beyond_them():
    """Laws 2.1.2 and 2.1.4: the white lines run along the edge of the playing surface."""
    x_cm = np.array([0.0, 274.0, 274.0, -0.01, 274.01, 137.0, np.nan])
    y_cm = np.array([0.0, 76.25, -76.25, 0.0, 0.0, 76.26, 0.0])

    assert table.is_on_table(x_cm, y_cm).tolist() == [True, True, True, False, False, False, False]
