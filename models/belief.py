"""What is believed of kinds of ball, and how it changes when balls tell more."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy import linalg
from scipy.linalg import lapack

from models.groups import FloatArray, IntArray

WORD_SPREAD = 1.5
"""How far the words of one dimension are taken to lie apart before any ball is seen (standard deviation, logits)."""


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

    def updated(self, information: FloatArray, pull: FloatArray) -> Belief:
        """The belief after balls that hold so much information on the kinds and pull so; negative takes it back."""
        before = linalg.inv(self.doubt)
        doubt = linalg.inv(before + information)
        return Belief(self.kinds, doubt @ (before @ self.ease + pull), doubt)


@dataclass(frozen=True)
class Posterior:
    """The ease of kinds after all testimonies, with the triangle whose square is its precision.

    The doubt takes twice as long as the ease: it is worked out where it is asked for.
    """

    ease: FloatArray
    pull: FloatArray
    triangle: FloatArray

    @property
    def log_size(self) -> float:
        """The logarithm of the determinant of the precision."""
        return float(2 * np.log(np.diag(self.triangle)).sum())

    def belief(self) -> Belief:
        """The ease with the doubt about it."""
        below, _ = lapack.dpotri(self.triangle, lower=1)
        doubt = np.tril(below) + np.tril(below, -1).T
        return Belief(np.arange(len(self.ease)), self.ease, doubt)


def words_of(words: npt.NDArray[np.int64]) -> FloatArray:
    """Which words name each kind: 1 where one does, shape (kinds, words of all dimensions)."""
    columns = [words[:, [dimension]] == np.unique(words[:, dimension]) for dimension in range(words.shape[1])]
    return np.concatenate(columns, axis=1).astype(np.float64)


def prior_precision(named: FloatArray, kind_spread: float) -> tuple[FloatArray, float]:
    """The precision of the ease of kinds before any ball is seen, and the logarithm of its determinant.

    Words are few beside kinds: by Woodbury's identity (Harville 1997, Matrix Algebra, 18.2) theirs alone is inverted.
    """
    of_words = np.eye(named.shape[1]) * (kind_spread / WORD_SPREAD) ** 2 + named.T @ named
    precision = (np.eye(len(named)) - named @ linalg.solve(of_words, named.T, assume_a="pos")) / kind_spread**2
    size = named.shape[1] * np.log((kind_spread / WORD_SPREAD) ** 2) - np.linalg.slogdet(of_words)[1]
    return precision, float(size - 2 * len(named) * np.log(kind_spread))
