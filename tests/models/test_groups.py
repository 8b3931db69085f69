"""Rows gathered by their keys."""

import numpy as np

from models.groups import group_rows


def test_rows_that_agree_in_every_key_are_one_group_in_ascending_order():
    player, week = np.array(["Mia", "Ben", "Mia", "Ben", "Mia"]), np.array([2, 1, 1, 1, 2])

    groups = group_rows(player, week)

    assert [(player[row], week[row]) for row in groups.first_row] == [("Ben", 1), ("Mia", 1), ("Mia", 2)]
    assert groups.sizes.tolist() == [2, 1, 2]
    assert groups.sums([10, 1, 100, 2, 20]).tolist() == [3, 100, 30]


def test_no_rows_are_no_groups():
    groups = group_rows(np.array([], dtype=int))

    assert groups.count == 0
    assert groups.sums([]).tolist() == []
