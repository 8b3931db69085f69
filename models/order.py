"""In which order the balls came: blocked, serial or random. Reported, never scored as good or bad.

Two figures are needed: a fixed cycle has the most switches, yet the next ball is fully predictable. Evidence that
mixed order teaches more is clear in the laboratory (Shea & Morgan 1979) and weak in applied sport and in the young
(Czyz et al. 2024; Ammar et al. 2024).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
import numpy.typing as npt

from models.groups import BoolArray, FloatArray, Groups, IntArray, group_rows

OrderSeen = Literal["blocked", "serial", "random", "too_few"]


@dataclass(frozen=True)
class OrderSettings:
    """Limits of the classes; club settings without a published basis.

    Below `least_balls` no order is named; below `balls_per_condition` serial and random look the same;
    `entropy_balls` times conditions squared are needed to show the entropy, which chance makes too small.
    """

    least_balls: int = 20
    balls_per_condition: int = 5
    entropy_balls: int = 10
    blocked_below: float = 0.5
    serial_below: float = 0.25


@dataclass(frozen=True)
class SessionOrders:
    """One entry per session, in ascending order of its number `session`.

    `switch_rate`: share of balls whose condition differs from the one before, within a block. `relative_switch_rate`:
    the same over its expectation for these balls shuffled (1 = as mixed as random). `conditional_entropy` in bits:
    how open the next ball was, given the last (0 = known). nan where undefined or too few.
    """

    session: npt.NDArray[Any]
    balls: IntArray
    switch_rate: FloatArray
    relative_switch_rate: FloatArray
    conditional_entropy: FloatArray
    order_seen: list[OrderSeen]


def session_orders(
    session: npt.ArrayLike, block: npt.ArrayLike, condition: npt.ArrayLike, settings: OrderSettings | None = None
) -> SessionOrders:
    """Read the order off rows that are one ball each, in the order played, balls of a block next to each other.

    `session` numbers a session of one player. Only balls whose place is known belong here, never counted lines.
    Source: Shannon (1948) for the conditional entropy.
    """
    settings = settings or OrderSettings()
    sessions, kinds = group_rows(session), group_rows(session, condition)
    numbers, blocks = np.asarray(session), np.asarray(block)
    follows = (numbers[1:] == numbers[:-1]) & (blocks[1:] == blocks[:-1])
    before, after = kinds.of_row[:-1][follows], kinds.of_row[1:][follows]
    owner = sessions.of_row[:-1][follows]
    switch_rate = _ratio(_count(owner, sessions.count, before != after), _count(owner, sessions.count))
    relative = _ratio(switch_rate, _switches_if_shuffled(sessions, kinds))
    next_entropy = _entropy_bits(owner, sessions.count, after)
    given_last = _entropy_bits(owner, sessions.count, before, after) - _entropy_bits(owner, sessions.count, before)
    conditions = np.bincount(sessions.of_row[kinds.first_row], minlength=sessions.count)
    predictability = _ratio(given_last, next_entropy)
    order_seen = [
        _order_seen(*figures, settings)
        for figures in zip(sessions.sizes, conditions, relative, predictability, strict=True)
    ]
    is_shown = sessions.sizes >= settings.entropy_balls * conditions**2
    entropy = np.where(is_shown, np.maximum(given_last, 0.0), np.nan)
    return SessionOrders(numbers[sessions.first_row], sessions.sizes, switch_rate, relative, entropy, order_seen)


def _order_seen(
    balls: int, conditions: int, relative: float, predictability: float, settings: OrderSettings
) -> OrderSeen:
    if balls < settings.least_balls:
        return "too_few"
    if conditions == 1 or relative < settings.blocked_below:
        return "blocked"
    if balls < settings.balls_per_condition * conditions:
        return "too_few"
    return "serial" if predictability < settings.serial_below else "random"


def _switches_if_shuffled(sessions: Groups, kinds: Groups) -> FloatArray:
    """The chance that two balls drawn from the session differ."""
    balls = sessions.sizes.astype(np.float64)
    twins = np.bincount(sessions.of_row[kinds.first_row], weights=kinds.sizes * (kinds.sizes - 1.0)).astype(np.float64)
    return 1 - _ratio(twins, balls * (balls - 1))


def _entropy_bits(owner: IntArray, owners: int, *values: IntArray) -> FloatArray:
    """The entropy of the values (taken together) within each owner, in bits."""
    if not len(owner):
        return np.zeros(owners)
    kinds = group_rows(owner, *values)
    of_kind = owner[kinds.first_row]
    share = kinds.sizes / np.bincount(owner, minlength=owners)[of_kind]
    return np.asarray(np.bincount(of_kind, weights=-share * np.log2(share), minlength=owners), dtype=np.float64)


def _count(owner: IntArray, owners: int, which: BoolArray | None = None) -> FloatArray:
    return np.bincount(owner, weights=which, minlength=owners).astype(np.float64)


def _ratio(part: FloatArray, whole: FloatArray) -> FloatArray:
    return np.asarray(np.divide(part, whole, out=np.full(len(whole), np.nan), where=whole > 0))
