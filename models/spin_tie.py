"""Does the spin depend on where the ball comes from? Then a player reads the place instead of the ball.

The tie is the mutual information of place and spin (Cover & Thomas 2006, Elements of Information Theory, 2.3), held
against a shuffle (Davison & Hinkley 1997, Bootstrap Methods and their Application, 4.3). A stand, all that came from
one place in one session, is dealt whole: its balls resemble each other, and dealing single balls would see ties
everywhere.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from models.groups import FloatArray

DRAWS = 1999


@dataclass(frozen=True)
class Stands:
    """S stands of one player: the number of the place of each (S,), and its balls by spin (S, spins)."""

    place: npt.NDArray[np.int64]
    balls: FloatArray


@dataclass(frozen=True)
class Tie:
    """How much the place tells of the spin.

    `information_bits`; `share_told` of what there is to know of the spin (0 to 1: 1 where the place gives it away);
    `chance`: how often a shuffle ties as much (0 to 1).
    """

    information_bits: float
    share_told: float
    chance: float


@dataclass(frozen=True)
class Pair:
    """The place and the spin, by number, that add most to a tie.

    `share_from_place` of the balls of that spin came from there, `share_of_others` of all other balls.
    """

    place: int
    spin: int
    added_bits: float
    share_from_place: float
    share_of_others: float


def spin_tie(stands: Stands, seed: int, draws: int = DRAWS) -> Tie | None:
    """The tie of one player; None where all balls came from one place or with one spin. The seed fixes the deal."""
    counts = balls_by_place(stands.place, stands.balls)
    spin_bits = entropy_bits(counts.sum(axis=0))
    if spin_bits == 0 or (counts.sum(axis=1) > 0).sum() < 2:
        return None
    seen = float(information_bits(counts))
    dealt = _dealt_tables(stands, len(counts), seed, draws)
    # The data are one of the deals, so that the chance is never nought (Phipson & Smyth 2010, SAGMB 9:39).
    as_tied = (information_bits(dealt) >= seen - 1e-12).sum()
    return Tie(seen, seen / spin_bits, float((1 + as_tied) / (1 + draws)))


def strongest_pair(counts: FloatArray) -> Pair:
    """The pair of a table of balls (places, spins) that adds most to its information; it has two spins or more."""
    share = counts / counts.sum()
    freely = share.sum(axis=1, keepdims=True) * share.sum(axis=0, keepdims=True)
    added = share * np.log2(np.divide(share, freely, out=np.ones_like(share), where=share > 0))
    place, spin = (int(number) for number in np.unravel_index(int(added.argmax()), added.shape))
    of_spin = counts[:, spin].sum()
    from_others = counts[place].sum() - counts[place, spin]
    others = counts.sum() - of_spin
    return Pair(
        place, spin, float(added[place, spin]), float(counts[place, spin] / of_spin), float(from_others / others)
    )


def balls_by_place(place: npt.NDArray[np.int64], balls: FloatArray) -> FloatArray:
    """Balls by place and spin (places, spins) of stands (S,) and (S, spins)."""
    counts = np.zeros((int(place.max(initial=-1)) + 1, balls.shape[1]))
    np.add.at(counts, place, balls)
    return counts


def information_bits(counts: FloatArray) -> FloatArray:
    """The mutual information of tables of counts (..., places, spins), in bits (...)."""
    total = counts.sum(axis=(-2, -1), keepdims=True)
    share = counts / total
    freely = share.sum(axis=-1, keepdims=True) * share.sum(axis=-2, keepdims=True)
    ratio = np.divide(share, freely, out=np.ones_like(share), where=share > 0)
    return np.asarray((share * np.log2(ratio)).sum(axis=(-2, -1)))


def entropy_bits(counts: FloatArray) -> float:
    """The entropy of a row of counts, in bits."""
    share = counts[counts > 0] / counts.sum()
    return float(-(share * np.log2(share)).sum())


def _dealt_tables(stands: Stands, places: int, seed: int, draws: int) -> FloatArray:
    """The same stands, their places dealt anew (draws, places, spins)."""
    deal = np.random.default_rng(seed)
    dealt = deal.permuted(np.tile(stands.place, (draws, 1)), axis=1)
    is_there = dealt[:, None, :] == np.arange(places)[None, :, None]
    return np.asarray(is_there.astype(np.float64) @ stands.balls)
