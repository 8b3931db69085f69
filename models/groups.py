"""Rows gathered into groups: the one way in which columns of a table are summed over players, weeks and cells."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]
BoolArray = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Groups:
    """Which rows belong together: `first_row` (per group) finds a group's keys, `of_row` (per row) its group."""

    first_row: IntArray
    of_row: IntArray

    @property
    def count(self) -> int:
        """How many groups there are."""
        return len(self.first_row)

    @property
    def sizes(self) -> IntArray:
        """Rows in each group."""
        return np.bincount(self.of_row, minlength=self.count).astype(np.int64)

    def sums(self, values: npt.ArrayLike) -> FloatArray:
        """The sum of `values` (one per row) in each group."""
        weights = np.asarray(values, dtype=np.float64)
        return np.asarray(np.bincount(self.of_row, weights=weights, minlength=self.count), dtype=np.float64)


def group_rows(*keys: npt.ArrayLike) -> Groups:
    """Gather rows that agree in every key (columns of equal length), in ascending order of the keys."""
    code = np.zeros(len(np.asarray(keys[0])), dtype=np.int64)
    for key in keys:
        values, place = np.unique(np.asarray(key), return_inverse=True)
        code = code * len(values) + place
    _, first_row, of_row = np.unique(code, return_index=True, return_inverse=True)
    return Groups(first_row, of_row)
