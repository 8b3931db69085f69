"""How sure one has to be of each figure, where many are looked at and those that stand out are picked."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from models.groups import FloatArray, group_rows


def shared_confidence(family: npt.ArrayLike, p_value: npt.ArrayLike, confidence: float = 0.95) -> FloatArray:
    """The confidence that each range of a family must have; one entry per row, `p_value` nan where nothing is judged.

    With it a range leaves out 0 for just those that the false discovery rate lets stand out, and of the ranges of
    those `confidence` hold the truth.
    Source: Benjamini & Hochberg (1995), J. R. Stat. Soc. B 57:289; ranges by Benjamini & Yekutieli (2005), J. Am.
    Stat. Assoc. 100:71.
    """
    p_values = np.asarray(p_value, dtype=np.float64)
    needed = np.full(len(p_values), confidence)
    families = group_rows(family)
    for number in range(families.count):
        own = np.flatnonzero((families.of_row == number) & ~np.isnan(p_values))
        ranked = np.sort(p_values[own])
        stand_out = np.flatnonzero(ranked <= (1 - confidence) * np.arange(1, len(own) + 1) / max(len(own), 1))
        picked = stand_out[-1] + 1 if len(stand_out) else 1
        needed[own] = 1 - (1 - confidence) * picked / max(len(own), 1)
    return needed
