"""How alike balls of one block and of one session are, ball by ball: whole matrices, slow, to check against.

One row and column for each ball of a player's four weeks; a matrix takes away what each kind of ball, or the whole,
comes to; others say which balls share a block or a session. What a sum of squares is expected to be is then a trace
(Searle, Casella & McCulloch 1992, Variance Components, ch. 5).
"""

from collections import defaultdict
from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

import numpy as np

from models.settings import Settings
from tests.sql.clubs import Row

EARLIEST_WEEK = date(2000, 1, 3)


class Alike(NamedTuple):
    """What balls of one block, and of two blocks of one session, have in common."""

    block: float
    session: float
    is_assumed: bool
    session_is_assumed: bool


def likeness_plainly(lines: Sequence[Row], settings: Settings) -> Alike:
    """The club's, from its lines in force; each with the `expected_rate` of its balls."""
    stretches: dict[tuple, list[Row]] = defaultdict(list)
    for line in lines:
        stretches[line["player_id"], (line["week"] - EARLIEST_WEEK).days // 28].append(line)
    needed = settings.likeness_comparisons
    if sum(_block_comparisons(own) for own in stretches.values()) < needed:
        return Alike(settings.assumed_likeness, settings.assumed_likeness / 2, True, True)
    sums = sum((_sums(own) for own in stretches.values()), np.zeros((3, 4)))
    is_assumed = sum(_session_comparisons(own) for own in stretches.values()) < needed
    return Alike(*_shares(sums, is_assumed), False, is_assumed)


def _shares(sums: np.ndarray, is_assumed: bool) -> tuple[float, float]:
    """Of the balls' variance; rows are sums of squares, columns the sum and what it has of ball, block and session."""
    (within, balls, *_), (between, freedom, by_block, by_day), (products, chance, per_block, per_day) = sums.tolist()
    single = within / max(balls, 1)
    known = [between - freedom * single, products - chance * single]
    if is_assumed:
        block = day = max(known[0], 0) / (by_block + by_day)
    else:
        block, day = np.linalg.solve([[by_block, by_day], [per_block, per_day]], known)
        if block < 0:
            block, day = 0, max(known[1] / per_day, 0)
        elif day < 0:
            block, day = max(known[0] / by_block, 0), 0
    whole = block + day + single
    return ((block + day) / whole, day / whole) if whole > 0 else (0.0, 0.0)


def _sums(lines: list[Row]) -> np.ndarray:
    """Within rows, between rows of a kind, and products of different blocks of a session; each with its traces."""
    balls = [(hit, line) for line in lines for hit in [1] * line["good"] + [0] * (line["balls"] - line["good"])]
    good = np.array([hit for hit, _ in balls], dtype=float)
    surplus = good - [line["expected_rate"] for _, line in balls]
    session, block, kind, row = (
        _same([tuple(line[name] for name in names) for _, line in balls])
        for names in (("session_id",), ("session_id", "block"), ("condition",), ("session_id", "block", "condition"))
    )
    above_mean = np.eye(len(balls)) - 1 / len(balls)
    pairs = above_mean @ (session - block) @ above_mean
    forms = (np.eye(len(balls)) - _means(row), good), (_means(row) - _means(kind), good), (pairs, surplus)
    return np.array(
        [
            [values @ form @ values, np.trace(form), (form * block).sum(), (form * session).sum()]
            for form, values in forms
        ]
    )


def _same(keys: Sequence[tuple]) -> np.ndarray:
    number = {key: at for at, key in enumerate(dict.fromkeys(keys))}
    numbers = np.array([number[key] for key in keys])
    return (numbers[:, None] == numbers).astype(float)


def _means(same: np.ndarray) -> np.ndarray:
    return same / same.sum(axis=1)


def _block_comparisons(lines: list[Row]) -> int:
    rows = {(line["condition"], line["session_id"], line["block"]) for line in lines}
    return len(rows) - len({line["condition"] for line in lines})


def _session_comparisons(lines: list[Row]) -> int:
    """Sessions of two blocks or more, less the first of them."""
    blocks = defaultdict(set)
    for line in lines:
        blocks[line["session_id"]].add(line["block"])
    return max(sum(len(held) > 1 for held in blocks.values()) - 1, 0)
