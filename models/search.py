"""Solving many small systems of equations at once, where each evaluation is a batch of flights."""

from collections.abc import Callable

import numpy as np

from models.table import FloatArray, IntArray

Miss = Callable[[IntArray, FloatArray], FloatArray]
"""For problems by number (M,), some perhaps more than once: from their unknowns (U, M) to what they miss (U, M)."""

_MOST_ROUNDS = 40
_NUDGE = 0.01
_STUCK = 1e-4


def approach_zero(miss: Miss, start: FloatArray, close_enough: float) -> tuple[FloatArray, FloatArray]:
    """Newton's method with halved steps for N problems of U unknowns: the best unknowns (U, N) and what they miss (N,).

    Unknowns should be scaled so that a nudge of a hundredth is small, and one of a ten-thousandth is nothing. A problem
    is left alone once it is close enough or its moves come to nothing.
    """
    point, move = start.copy(), np.zeros_like(start)
    least = np.full(start.shape[1], np.inf)
    problems = np.arange(start.shape[1])
    for _ in range(_MOST_ROUNDS):
        tried = point[:, problems] + move[:, problems]
        missed, slope = _missed_and_slope(miss, problems, tried)
        distance = np.abs(missed).max(axis=0)
        is_nearer = distance < least[problems]
        point[:, problems[is_nearer]], least[problems[is_nearer]] = tried[:, is_nearer], distance[is_nearer]
        move[:, problems] = np.where(is_nearer, _newton_move(missed, slope), move[:, problems] / 2)
        problems = np.flatnonzero((least >= close_enough) & (np.abs(move).max(axis=0) > _STUCK * close_enough))
        if problems.size == 0:
            break
    return point, least


def _missed_and_slope(miss: Miss, problems: IntArray, point: FloatArray) -> tuple[FloatArray, FloatArray]:
    """What is missed (U, M) at a point and how that changes with each unknown (M, U, U)."""
    nudges = _NUDGE * np.vstack([np.zeros(len(point)), np.eye(len(point))])
    side_by_side = np.concatenate([point + nudge[:, None] for nudge in nudges], axis=1)
    missed = miss(np.tile(problems, len(nudges)), side_by_side).reshape(len(point), len(nudges), -1)
    return missed[:, 0], np.moveaxis((missed[:, 1:] - missed[:, :1]) / _NUDGE, 2, 0)


def _newton_move(missed: FloatArray, slope: FloatArray) -> FloatArray:
    """The move (U, M) that would end the misses if they were linear; the tiny ridge keeps flat problems solvable."""
    across = np.swapaxes(slope, 1, 2)
    ridge = 1e-12 * np.eye(slope.shape[1])
    return np.asarray(-np.linalg.solve(across @ slope + ridge, across @ missed.T[..., None])[..., 0].T)
