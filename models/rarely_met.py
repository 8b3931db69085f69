"""Does success reach the balls a player rarely meets? Rare cells against familiar ones of like difficulty."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from models.bootstrap import expanded_percentiles, resample_whole
from models.groups import BoolArray, FloatArray, IntArray, group_rows
from models.intervals import standard_score
from models.own_level import at_own_level

ReachVerdict = Literal["reaches", "falls_short", "not_clear", "too_few"]


@dataclass(frozen=True)
class ReachSettings:
    """What a verdict needs; club settings without a published basis.

    `tail` is the share of the player's cells that counts as rare, and as familiar; `small_gap` (points of the rate,
    0 to 1) still counts as reaching them.
    """

    tail: float = 1 / 3
    least_sessions: int = 6
    least_balls: int = 30
    small_gap: float = 0.10
    draws: int = 2000
    confidence: float = 0.95


@dataclass(frozen=True)
class Reach:
    """Points of success (-1 to 1) on rarely met cells less those on familiar ones, both against what was expected.

    Gap and range are nan, and the balls count all the same, where the verdict is too_few.
    """

    rare_balls: float
    familiar_balls: float
    gap: float
    low: float
    high: float
    verdict: ReachVerdict


@dataclass(frozen=True)
class MetCells:
    """One player's log, one row per kind of ball in a session, or in a part of it.

    `exposure` is how much of the row's cell the player has met (balls, older ones may count less); `ease` (logits) is
    what the other players of the club find of its kind, a place in `doubt`: the covariance of the doubt about that.
    """

    session: npt.NDArray[np.int64]
    cell: npt.NDArray[np.int64]
    good: FloatArray
    balls: FloatArray
    exposure: FloatArray
    kind: IntArray
    ease: FloatArray
    doubt: FloatArray


def reach(log: MetCells, seed: int, settings: ReachSettings | None = None) -> Reach:
    """Compare the least met cells of one player with the most met, each ball against what others find of its kind.

    The player's own level is taken out first, so a strong player's rare cells are not called good for it. The range
    holds the luck of sessions (dealt again) and the doubt about the balls, squared and added; the seed fixes the deal.
    Blocks of one session share its form: were they dealt, a ball that is fed in several blocks of one session would
    seem to fail one player in ten.
    """
    settings = settings or ReachSettings()
    is_rare, is_familiar = _tails(log, settings.tail)
    expected = at_own_level(log.ease, log.good, log.balls)
    surplus = log.good - log.balls * expected
    parts = [column * rows for rows in (is_rare, is_familiar) for column in (surplus, log.balls)]
    sessions = group_rows(log.session)
    totals = np.stack([sessions.sums(part) for part in parts], axis=1)
    sessions_with = int((totals[:, [1, 3]] > 0).sum(axis=0).min())
    rare_balls, familiar_balls = float(totals[:, 1].sum()), float(totals[:, 3].sum())
    if sessions_with < settings.least_sessions or min(rare_balls, familiar_balls) < settings.least_balls:
        return Reach(rare_balls, familiar_balls, np.nan, np.nan, np.nan, "too_few")
    gap = float(_gaps(totals.sum(axis=0)[None])[0])
    drawn = _gaps(resample_whole(totals, settings.draws, seed))
    ends = np.array(expanded_percentiles(drawn, sessions_with, settings.confidence))
    of_balls = standard_score(settings.confidence) * _doubt_of_gap(log, expected, is_rare, is_familiar)
    low, high = (gap + np.array([-1, 1]) * np.hypot(ends - gap, of_balls)).tolist()
    return Reach(rare_balls, familiar_balls, gap, low, high, _verdict(low, high, settings))


def _tails(log: MetCells, tail: float) -> tuple[BoolArray, BoolArray]:
    """Which rows are of rare, and which of familiar cells; cells of equal exposure are never told apart."""
    cells = group_rows(log.cell)
    exposure = log.exposure[cells.first_row]
    few, many = np.quantile(exposure, [tail, 1 - tail]) if len(exposure) else (0.0, 0.0)
    return (log.exposure <= few) & (few < many), (log.exposure >= many) & (few < many)


def _doubt_of_gap(log: MetCells, expected: FloatArray, is_rare: BoolArray, is_familiar: BoolArray) -> float:
    """The standard deviation that the doubt about the balls gives the gap (points)."""
    chance = log.balls * expected * (1 - expected)
    aside = is_rare / np.sum(log.balls * is_rare) - is_familiar / np.sum(log.balls * is_familiar)
    # A kind that is easier than thought lowers the player's level as well, and so what is expected of all others.
    moved = chance * aside - chance * np.sum(chance * aside) / chance.sum()
    by_kind = np.bincount(log.kind, moved, minlength=len(log.doubt))
    return float(np.sqrt(by_kind @ log.doubt @ by_kind))


def _gaps(totals: FloatArray) -> FloatArray:
    with np.errstate(invalid="ignore"):  # a deal may hold no ball of one kind: it has no gap
        return np.asarray(totals[:, 0] / totals[:, 1] - totals[:, 2] / totals[:, 3])


def _verdict(low: float, high: float, settings: ReachSettings) -> ReachVerdict:
    if low > -settings.small_gap:
        return "reaches"
    return "falls_short" if high < 0 else "not_clear"
