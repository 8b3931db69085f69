"""How to set a feeder for a ball of a plan: where its head looks, what its dials say, where the player is ready.

Speed, tilt and spin are those of a typical ball of these words (`models.typical`), over all sets of coefficients; a
mark of a dial is known only where noted landings have calibrated it. Whoever sets it so feeds a check ball first.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from math import isfinite
from typing import cast

from models.coefficients import ALL_SETS
from models.dial_advice import Lines
from models.estimates import Span
from models.feeder_setup import FeederSetup
from models.flight import Point, points_of_path
from models.incoming import Length
from models.ready import cone_of_returns, ready_position
from models.stance import DEEP_CENTRE, Handedness, Place, forehand_cm, yaw_deg
from models.table import TABLE_LENGTH_CM
from models.typical import FIRST_TRY_CM, FOREHAND_CM, Described, typical_by_set
from models.worth import Words


@dataclass(frozen=True)
class Mark:
    """Where a dial is set: the middle over the sets that have such a ball, and whether noted settings reach so far."""

    mark: float
    is_guess: bool


@dataclass(frozen=True)
class BlockSetup:
    """How to set a feeder for one ball of a block.

    `yaw_deg`: where the head looks, 0 straight along the table, positive to the player's right. `turn_deg`: how far
    that is from where the log says it looks; None where it does not say. `tilt_deg`, `speed_mps`: over the sets of
    coefficients; None where the ball's words leave spin or length open, or no set has such a ball. `speed`, `spin`:
    marks of the dials; None where not calibrated. `lands` is where the ball bounces first.
    """

    yaw_deg: float
    turn_deg: float | None
    tilt_deg: Span | None
    speed_mps: Span | None
    speed: Mark | None
    spin: Mark | None
    lands: Place
    ready: Place
    path_cm: tuple[Point, ...] = ()
    """The way of the ball to its second bounce, by the first set that has it."""


@dataclass(frozen=True)
class Dials:
    """What is known of the dials of a feeder: their lines by set of coefficients; none where not calibrated."""

    speed: Lines
    spin: Lines


NOT_CALIBRATED = Dials({}, {})


def block_setup(feeder: FeederSetup, words: Words, hand: Handedness, dials: Dials = NOT_CALIBRATED) -> BlockSetup:
    """How to set the feeder that stands there for a ball of these words (None: any). Raises OutOfBounds."""
    played = _typical(described) if (described := _described(feeder, words, hand)) else ()
    lands = played[0].lands if played else _by_words(words, hand)
    looks_deg = sum(one.yaw_deg for one in played) / len(played) if played else yaw_deg(feeder.place, lands)
    return BlockSetup(
        yaw_deg=looks_deg,
        turn_deg=None if feeder.yaw_deg is None else looks_deg - feeder.yaw_deg,
        tilt_deg=_span(one.elevation_deg for one in played),
        speed_mps=_span(one.speed_mps for one in played),
        speed=_mark(dials.speed, {one.coefficients: one.speed_mps for one in played}),
        spin=_mark(dials.spin, {one.coefficients: one.topspin_rps for one in played}),
        lands=lands,
        ready=ready_position(cone_of_returns(feeder.place)),
        path_cm=played[0].path_cm if played else (),
    )


@dataclass(frozen=True)
class _Played:
    coefficients: str
    speed_mps: float
    elevation_deg: float
    yaw_deg: float
    topspin_rps: float
    lands: Place
    path_cm: tuple[Point, ...]


def _described(feeder: FeederSetup, words: Words, hand: Handedness) -> Described | None:
    spin, length = words.get("spin") or words.get("spin_family"), words.get("length")
    if spin is None or length is None:
        return None
    return Described(
        x_cm=feeder.x_cm,
        y_cm=feeder.y_cm,
        height_cm=feeder.height_cm,
        handedness=hand,
        spin=spin,
        length=cast(Length, length),
        sidespin=words.get("sidespin"),
        placement=words.get("placement"),
        height=words.get("height"),
    )


# A plan asks again for the same balls whenever something else in it is changed.
@lru_cache(maxsize=512)
def _typical(described: Described) -> tuple[_Played, ...]:
    found: list[_Played] = []
    for coefficients, typical in zip(ALL_SETS, typical_by_set([described]), strict=True):
        feeds, wanted = typical.feeds, typical.wanted
        numbers = (feeds.speed_mps, feeds.elevation_deg, feeds.yaw_deg, feeds.topspin_rps)
        if all(isfinite(number[0]) for number in numbers):
            speed, tilt, looks, spin = (float(number[0]) for number in numbers)
            lands = Place(float(wanted.target_x_cm[0]), float(wanted.target_y_cm[0]))
            way = () if found else points_of_path(feeds, coefficients)
            found.append(_Played(coefficients.name, speed, tilt, looks, spin, lands, way))
    return tuple(found)


def _by_words(words: Words, hand: Handedness) -> Place:
    """About where a ball lands of which too little is said: long and in the middle, where nothing else is."""
    length, placement = cast(Length, words.get("length") or "long"), words.get("placement") or "middle"
    x_cm = DEEP_CENTRE.x_cm if length == "long" else min(FIRST_TRY_CM[length], TABLE_LENGTH_CM)
    return Place(x_cm, forehand_cm(FOREHAND_CM[placement], hand))


def _span(numbers: Iterable[float]) -> Span | None:
    known = list(numbers)
    return Span(min(known), max(known)) if known else None


def _mark(lines: Lines, wanted: Mapping[str, float]) -> Mark | None:
    found = [(lines[name], lines[name].dial_for(value)) for name, value in wanted.items() if name in lines]
    if not found:
        return None
    return Mark(
        sum(mark for _, mark in found) / len(found), is_guess=not all(line.covers(mark) for line, mark in found)
    )
