"""The fed balls of a drill: what each one is like, how hard it is, and in which order they come."""

from dataclasses import dataclass, replace
from random import Random

from demo_data.club import BACK, SETTINGS, spin_family
from demo_data.drills import Drill, pick
from models.feeding_records import Setup
from models.records import Player


@dataclass(frozen=True)
class Feed:
    """One kind of fed ball, and the stroke asked for."""

    spin: str
    sidespin: str | None
    length: str
    placement: str | None
    height: str | None
    stroke: str


# The half-long ball is fed seldom, as in most halls.
_LENGTHS = {
    "backspin": {"short": 50.0, "half_long": 14.0, "long": 36.0},
    "no_spin": {"short": 28.0, "half_long": 14.0, "long": 58.0},
    "topspin": {"short": 5.0, "half_long": 10.0, "long": 85.0},
}
_STROKES = {
    ("backspin", "short"): ("push", "flick", "drop_shot"),
    ("backspin", "half_long"): ("push", "loop"),
    ("backspin", "long"): ("loop", "push", "chop"),
    ("no_spin", "short"): ("flick", "push"),
    ("no_spin", "half_long"): ("drive", "loop"),
    ("no_spin", "long"): ("drive", "loop"),
    ("topspin", "short"): ("flick", "block"),
    ("topspin", "half_long"): ("block", "drive"),
    ("topspin", "long"): ("block", "drive", "loop"),
}
_PLACEMENTS = {"forehand": 30.0, "backhand": 30.0, "middle": 16.0, "wide_forehand": 12.0, "wide_backhand": 12.0}
_HEIGHTS = {"low": 45.0, "medium": 45.0, "high": 10.0}
_SIDESPINS = {"none": 85.0, "left": 8.0, "right": 7.0}

_HARDER_BY_SPIN = {
    "heavy_backspin": -0.5,
    "backspin": -0.15,
    "light_backspin": 0.05,
    "no_spin": 0.15,
    "light_topspin": 0.2,
    "topspin": 0.05,
    "heavy_topspin": -0.4,
}
_HARDER_BY_LENGTH = {"short": -0.05, "half_long": -0.35, "long": 0.08}


def feeds_of(drill: Drill, chance: Random) -> tuple[Feed, ...]:
    """One feed per spin of the drill. The same spin again is the same ball again, with another stroke asked for."""
    feeds: list[Feed] = []
    for spin in drill.spins:
        twin = feeds[-1] if feeds and feeds[-1].spin == spin else None
        feeds.append(_with_other_stroke(twin) if twin else _new_feed(spin, drill, chance))
    return tuple(feeds)


def is_same_ball(one: Feed, other: Feed) -> bool:
    """Whether two feeds differ at most in the stroke asked for."""
    return replace(one, stroke=other.stroke) == other


def _new_feed(spin: str, drill: Drill, chance: Random) -> Feed:
    length = pick(_LENGTHS[spin_family(spin)], chance)
    # Nobody sends a fast ball short from behind the table.
    if length == "short" and drill.setup in BACK and (drill.tempo_bpm or 0) >= 60:
        length = "half_long"
    height = pick(_HEIGHTS, chance)
    stroke = "smash" if (height, length) == ("high", "long") else chance.choice(_STROKES[spin_family(spin), length])
    return Feed(
        spin,
        pick(_SIDESPINS, chance) if chance.random() < 0.9 else None,
        length,
        pick(_PLACEMENTS, chance) if chance.random() < 0.96 else None,
        height if chance.random() < 0.9 else None,
        stroke,
    )


def _with_other_stroke(feed: Feed) -> Feed:
    others = [stroke for stroke in _STROKES[spin_family(feed.spin), feed.length] if stroke != feed.stroke]
    return replace(feed, stroke=others[0])


def ease(feed: Feed, drill: Drill, setup: Setup, player: Player) -> float:
    """How much easier than a middling ball this one is, in log-odds of a good ball; harder is negative."""
    return (
        _HARDER_BY_SPIN[feed.spin]
        + _HARDER_BY_LENGTH[feed.length]
        - 0.010 * ((drill.tempo_bpm or 40) - 40)
        - (0.2 if (feed.placement or "").startswith("wide") else 0)
        - (0.15 if feed.sidespin in ("left", "right") else 0)
        + _ease_of_place(setup, player)
    )


def _ease_of_place(setup: Setup, player: Player) -> float:
    depth = 0.1 if setup.x_cm < SETTINGS.back_below_cm else -0.15 if setup.x_cm >= SETTINGS.near_from_cm else 0.0
    towards_forehand = setup.y_cm if player.handedness == "right" else -setup.y_cm
    if abs(setup.y_cm) <= SETTINGS.centre_within_cm:
        return depth + 0.1
    return depth + (0.0 if towards_forehand > 0 else -0.1)


def feed_order(order: str, feeds: int, balls_per_feed: int, chance: Random) -> list[int]:
    """Which feed each ball of a block is, counted from 1, in the order declared."""
    blocked = [feed for feed in range(1, feeds + 1) for _ in range(balls_per_feed)]
    if order == "serial":
        return list(range(1, feeds + 1)) * balls_per_feed
    if order == "random":
        chance.shuffle(blocked)
    return blocked
