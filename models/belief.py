"""What is believed of kinds of ball, and how it changes when balls tell more."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import linalg

from models.groups import FloatArray, IntArray


@dataclass(frozen=True)
class Belief:
    """What is believed of the `kinds`: their ease (logits, about 0) and the covariance of the doubt about it."""

    kinds: IntArray
    ease: FloatArray
    doubt: FloatArray

    def only(self, kinds: IntArray) -> Belief:
        """The belief about some of its kinds."""
        at = np.searchsorted(self.kinds, kinds)
        return Belief(kinds, self.ease[at], self.doubt[np.ix_(at, at)])

    def told(self, information: FloatArray, pull: FloatArray) -> Belief:
        """The belief after balls that hold so much information on the kinds and pull so; negative takes it back."""
        before = linalg.inv(self.doubt)
        doubt = linalg.inv(before + information)
        return Belief(self.kinds, doubt @ (before @ self.ease + pull), doubt)
