"""What the balls of one player say of how hard kinds of ball are."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from models.groups import FloatArray, IntArray


@dataclass(frozen=True)
class Testimony:
    """What one player's balls say of the `kinds`: by all that they show, and by differences within a day alone."""

    kinds: IntArray
    information: FloatArray
    pull: FloatArray
    daily_information: FloatArray
    daily_pull: FloatArray


def by_player(players: Iterable[int], testimonies: Iterable[Testimony]) -> list[Testimony]:
    """The testimonies of each player added up, in ascending order of the players; `players` says whose each is."""
    own: dict[int, list[Testimony]] = {}
    for player, testimony in zip(players, testimonies, strict=True):
        own.setdefault(player, []).append(testimony)
    return [_together(own[player]) for player in sorted(own)]


def _together(testimonies: list[Testimony]) -> Testimony:
    kinds = np.unique(np.concatenate([one.kinds for one in testimonies]))
    size = len(kinds)
    sums = (np.zeros((size, size)), np.zeros(size), np.zeros((size, size)), np.zeros(size))
    for one in testimonies:
        at = np.searchsorted(kinds, one.kinds)
        for total, part in zip(sums, list(vars(one).values())[1:], strict=True):
            total[np.ix_(at, at) if total.ndim == 2 else at] += part
    return Testimony(kinds, *sums)
