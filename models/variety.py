"""How alike two balls are, and how many really different conditions a target could hold at most.

Heavy backspin and backspin are near twins; backspin and topspin are not. Words of one dimension (spin, length,
placement, ...) are ordered, so they stand at places on a line from 0 (first word) to 1 (last).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from models.groups import FloatArray

# Setting: how fast likeness falls with distance; first and last word of a dimension are exp(-2) = 0.14 alike.
LIKENESS_DECAY = 2.0


def word_likeness(places: npt.ArrayLike, decay: float = LIKENESS_DECAY) -> FloatArray:
    """Likeness (0 to 1) of each word of a dimension to each other, for words at these places (0 to 1).

    Likeness of two cells is the product over their dimensions. It falls exponentially because a straight fall rates
    the two extremes alone above all words in equal shares.
    Source: Leinster & Cobbold (2012), Ecology 93:477.
    """
    where = np.asarray(places, dtype=np.float64)
    return np.asarray(np.exp(-decay * np.abs(where[:, None] - where[None, :])))


def most_distinct_conditions(places_by_dimension: Sequence[npt.ArrayLike], decay: float = LIKENESS_DECAY) -> float:
    """The largest effective number of distinct conditions that any mix over the grid can reach: "x of at most".

    The grid is the cross product of the dimensions, so the maximum is the product of theirs; for points on a line it
    is 1 plus tanh(half the distance) summed over the gaps.
    Source: Leinster & Meckes (2016), Entropy 18:88; Leinster (2013), Documenta Mathematica 18:857, for the line.
    """
    return float(np.prod([_most_on_line(places, decay) for places in places_by_dimension]))


def _most_on_line(places: npt.ArrayLike, decay: float) -> float:
    gaps = np.diff(np.unique(np.asarray(places, dtype=np.float64)))
    return float(1 + np.sum(np.tanh(decay * gaps / 2)))
