"""How many independent balls a count is worth, given that balls of one block, and of one session, are alike."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from models.groups import FloatArray


def design_effect(
    balls: npt.ArrayLike,
    squared_block_balls: npt.ArrayLike,
    rho: npt.ArrayLike,
    squared_session_balls: npt.ArrayLike | None = None,
    rho_session: npt.ArrayLike = 0.0,
) -> FloatArray:
    """Balls per effective ball (1 or more): 1 + (m - 1) rho + (s - m) rho_session.

    m and s are the sizes of the block and of the session that a ball finds itself in. `squared_block_balls` is the
    sum, over the blocks, of the square of the balls that count here, and `squared_session_balls` the same over the
    sessions; left out, every block is a session of its own.
    Source: Kish (1965), Survey Sampling, with the size-weighted mean m = sum n^2 / sum n; balls of two blocks of one
    session share rho_session, as in a two-stage sample.
    """
    count = np.asarray(balls, dtype=np.float64)
    by_blocks = np.asarray(squared_block_balls, dtype=np.float64)
    by_sessions = by_blocks if squared_session_balls is None else np.asarray(squared_session_balls, dtype=np.float64)
    block, session = (squares / np.where(count > 0, count, np.nan) for squares in (by_blocks, by_sessions))
    return np.asarray(1 + (block - 1) * np.asarray(rho) + (session - block) * np.asarray(rho_session))


def effective_balls(
    balls: npt.ArrayLike,
    squared_block_balls: npt.ArrayLike,
    rho: npt.ArrayLike,
    squared_session_balls: npt.ArrayLike | None = None,
    rho_session: npt.ArrayLike = 0.0,
) -> FloatArray:
    """The count of independent balls that `balls` are worth; 0 where there are none."""
    count = np.asarray(balls, dtype=np.float64)
    effect = design_effect(count, squared_block_balls, rho, squared_session_balls, rho_session)
    return np.where(count > 0, count / effect, 0.0)
