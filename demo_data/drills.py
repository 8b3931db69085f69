"""What a coach decides before a block: the setup, the tempo, the order and the spins; and the habits behind it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from itertools import product
from random import Random

from demo_data.club import BACK, MIDDLE, NEAR, PARTNER
from demo_data.dates import FIRST_MONDAY, LAST_SUNDAY
from models.words import SPIN

SLOW_BPM = (28.0, 30.0, 32.0, 34.0, 36.0, 37.5)
MEDIUM_BPM = (45.0, 50.0)
FAST_BPM = (60.0, 62.0, 65.0, 70.0)

BUCKETS = (20, 24, 25, 30, 30, 36, 40, 40, 45, 50, 60)
SMALL_BUCKETS = (20, 24, 25, 30)
"""Balls of one feed: alone in its block, and in a combination."""

_ORDERS = {"blocked": 70.0, "serial": 18.0, "random": 12.0}


@dataclass(frozen=True)
class Drill:
    """One block as the coach means it. `spins` holds one spin per feed of the combination."""

    setup: str
    tempo_bpm: float | None
    order: str
    spins: tuple[str, ...]
    balls_per_feed: int


@dataclass(frozen=True)
class Habits:
    """How one player trains.

    `ability`, `drift` (over the season), `swing` (from session to session) and `change_cost` (on the first ball after
    a change) are log-odds of a good ball. `attendance` is the chance to come on each of the three evenings. A `cycle`
    of drills is worked through in turn, `drills_per_session` at a time; without one the coach picks by the weights.
    """

    ability: float
    setups: Mapping[str, float] = field(default_factory=dict)
    spins: Mapping[str, float] = field(default_factory=dict)
    tempos_bpm: tuple[float, ...] = SLOW_BPM * 3 + MEDIUM_BPM + FAST_BPM * 2
    attendance: tuple[float, float, float] = (0.6, 0.6, 0.3)
    feeds_per_session: tuple[int, int] = (3, 7)
    buckets: tuple[int, ...] = BUCKETS
    drift: float = 0.1
    swing: float = 0.2
    change_cost: float = 0.15
    first_day: date = FIRST_MONDAY
    last_day: date = LAST_SUNDAY
    cycle: tuple[Drill, ...] = ()
    drills_per_session: int = 0


def drills_of_session(habits: Habits, ordinal: int, chance: Random) -> list[Drill]:
    """The drills of a player's session; `ordinal` counts the player's sessions from 0."""
    if habits.cycle:
        first = ordinal * habits.drills_per_session
        return [habits.cycle[n % len(habits.cycle)] for n in range(first, first + habits.drills_per_session)]
    wanted = chance.randint(*habits.feeds_per_session)
    drills: list[Drill] = []
    while (feeds := sum(len(drill.spins) for drill in drills)) < wanted:
        drills.append(_pick_drill(habits, wanted - feeds, chance))
    return drills


def _pick_drill(habits: Habits, most_feeds: int, chance: Random) -> Drill:
    order = pick(_ORDERS, chance) if most_feeds > 1 else "blocked"
    alone = order == "blocked" and chance.random() < 0.85
    feeds = 1 if alone else min(most_feeds, chance.randint(2, 3))
    setup = pick(habits.setups, chance)
    return Drill(
        setup,
        # A partner plays as it comes: nobody sets a tempo.
        None if setup == PARTNER else chance.choice(habits.tempos_bpm),
        order,
        tuple(pick(habits.spins, chance) for _ in range(feeds)),
        chance.choice(habits.buckets if feeds == 1 else SMALL_BUCKETS),
    )


def pick(weights: Mapping[str, float], chance: Random) -> str:
    """One of the words, by weight."""
    return chance.choices(list(weights), list(weights.values()))[0]


def spin_weights(*weights: float) -> dict[str, float]:
    """One weight per spin, from heavy_backspin to heavy_topspin."""
    return dict(zip(SPIN.names, weights, strict=True))


def spin_tied_to_depth() -> tuple[Drill, ...]:
    """Every depth, side, spin and tempo equally often, but each depth with a spin of its own."""
    spin_of_row = {BACK: "topspin", MIDDLE: "no_spin", NEAR: "backspin"}
    return tuple(
        Drill(row[side], tempo, "blocked", (spin_of_row[row],), 25)
        for tempo, side, row in product((34.0, 62.0), range(3), spin_of_row)
    )


def nearly_everything() -> tuple[Drill, ...]:
    """Every setup of the robot at both tempos against all three kinds of spin, but never fast from near left."""
    places = [place for place in product(BACK + MIDDLE + NEAR, (36.0, 60.0)) if place != ("NL", 60.0)]
    orders = ("random", "blocked", "serial")
    return tuple(
        Drill(setup, tempo, orders[n % 3], ("backspin", "no_spin", "topspin"), 24)
        for n, (setup, tempo) in enumerate(places)
    )


def mixed_for_ball_logs() -> tuple[Drill, ...]:
    """Three kinds of spin in each block, in every order, so that each of them is met repeated and after a change."""
    setups, orders, tempos = ("BC", "BR", "MC", "NC", "BL"), ("random", "blocked", "random", "serial"), (36.0, 62.0)
    spins = (("backspin", "no_spin", "topspin"), ("heavy_backspin", "light_topspin", "no_spin"))
    # Five setups against four orders: they meet in every pairing within twenty drills.
    return tuple(Drill(setups[n % 5], tempos[n // 20], orders[n % 4], spins[n // 4 % 2], 15) for n in range(40))
