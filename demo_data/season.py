"""The season as it was played: every session of every player, ball by ball."""

from dataclasses import dataclass
from datetime import date
from functools import cache
from itertools import pairwise
from math import exp
from random import Random
from statistics import linear_regression

from demo_data.club import setup_on, spin_family
from demo_data.dates import sessions_on, share_of_season, training_days
from demo_data.dice import dice
from demo_data.drills import Drill, Habits, drills_of_session, pick
from demo_data.feeds import Feed, ease, feed_order, feeds_of, is_same_ball
from demo_data.habits import HABITS
from demo_data.people import PLAYERS, hall_of
from models.records import Player

BLOCK_SPREAD = 0.4
"""Standard deviation between blocks, in log-odds: the balls of a block have more in common than chance."""

_MISSES = {
    "backspin": {"net": 58.0, "long": 17.0, "wide": 12.0, "missed": 13.0},
    "no_spin": {"net": 35.0, "long": 35.0, "wide": 14.0, "missed": 16.0},
    "topspin": {"net": 18.0, "long": 52.0, "wide": 14.0, "missed": 16.0},
}


@dataclass(frozen=True)
class Ball:
    """One ball of a block: which feed it was, and what became of it."""

    feed: int
    outcome: str


@dataclass(frozen=True)
class Block:
    """One drill block as it was played."""

    drill: Drill
    feeds: tuple[Feed, ...]
    balls: tuple[Ball, ...]


@dataclass(frozen=True)
class TrainingSession:
    """One player's session, with what the coach happened to write down about it."""

    day: date
    label: str | None
    player: Player
    blocks: tuple[Block, ...]
    effort: float | None
    minutes_are_noted: bool
    misses_are_counted: bool


@cache
def play_season() -> tuple[TrainingSession, ...]:
    """Every session of the season, by day, label and the order of the players."""
    sessions = [session for player in PLAYERS for session in _sessions_of(player)]
    return tuple(sorted(sessions, key=lambda session: (session.day, session.label == "afternoon")))


def _sessions_of(player: Player) -> list[TrainingSession]:
    habits = HABITS[player.player]
    days = [day for day in training_days(hall_of(player).name) if _attends(player, habits, day)]
    dates = [(day, label) for day in days for label in sessions_on(day)]
    forms = _forms(player, habits, [day for day, _ in dates])
    return [
        _session(player, day, label, ordinal, form)
        for ordinal, ((day, label), form) in enumerate(zip(dates, forms, strict=True))
    ]


def _attends(player: Player, habits: Habits, day: date) -> bool:
    chance = habits.attendance[day.weekday() // 2]
    return habits.first_day <= day <= habits.last_day and dice(player.player, day, "attends").random() < chance


def _forms(player: Player, habits: Habits, days: list[date]) -> list[float]:
    """The player's log-odds in each session: ability, drift, and swings from which every trend has been taken."""
    times = [share_of_season(day) for day in days]
    swings = [dice(player.player, n, "form").gauss(0, habits.swing) for n in range(len(days))]
    slope, start = linear_regression(times, swings) if len(set(days)) > 1 else (0.0, swings[0])
    return [
        habits.ability + habits.drift * time + swing - (start + slope * time)
        for time, swing in zip(times, swings, strict=True)
    ]


def _session(player: Player, day: date, label: str | None, ordinal: int, form: float) -> TrainingSession:
    chance = dice(player.player, day, label)
    drills = drills_of_session(HABITS[player.player], ordinal, chance)
    blocks = tuple(_play(player, day, drill, form, chance) for drill in drills)
    balls = sum(len(block.balls) for block in blocks)
    effort = min(10, max(1, round(2 * (1.5 + balls / 50 + chance.gauss(0, 1))) / 2))
    return TrainingSession(
        day,
        label,
        player,
        blocks,
        effort if chance.random() < 0.85 else None,
        minutes_are_noted=chance.random() < 0.9,
        misses_are_counted=chance.random() < 0.7,
    )


def _play(player: Player, day: date, drill: Drill, form: float, chance: Random) -> Block:
    feeds = feeds_of(drill, chance)
    setup = setup_on(drill.setup, day)
    form_in_block = form + chance.gauss(0, BLOCK_SPREAD)
    odds = [form_in_block + ease(feed, drill, setup, player) for feed in feeds]
    order = feed_order(drill.order, len(feeds), drill.balls_per_feed, chance)
    cost = HABITS[player.player].change_cost
    changes = [False] + [not is_same_ball(feeds[a - 1], feeds[b - 1]) for a, b in pairwise(order)]
    return Block(
        drill,
        feeds,
        tuple(
            Ball(feed, _outcome(odds[feed - 1] - cost * changed, feeds[feed - 1], chance))
            for feed, changed in zip(order, changes, strict=True)
        ),
    )


def _outcome(log_odds: float, feed: Feed, chance: Random) -> str:
    is_good = chance.random() < 1 / (1 + exp(-log_odds))
    return "good" if is_good else pick(_MISSES[spin_family(feed.spin)], chance)
