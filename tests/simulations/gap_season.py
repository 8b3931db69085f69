"""Twelve weeks of obedience: ten players are fed just what the plan says. Does any wanted ball starve?

Each player has two sessions of 45 minutes a week, after four sessions of one corner's balls. The plan is held against
feeding at random and against an integer programme that covers the most wanted share it can in each session (HiGHS, by
scipy.optimize.milp). `uv run python -m tests.simulations.gap_season --full` prints every bar with what it
found and fails where one is missed; without --full, three players.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta
from itertools import product

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from models.gaps import lacks
from models.planned import Gap, Plan, Stand
from models.planning import arranged, drill_of, plan
from models.settings import Settings
from models.stance import Place
from models.words import DEPTH, LENGTH, SIDE, SPIN_FAMILY
from models.worth import Cell, Shortfall, Wanted, cell_of, pairs_of

SEED = 20261128
MINUTES = 45.0
SESSIONS = 24
FIRST_DAY = date(2026, 3, 3)
SETTINGS = Settings()

PLACES = {"back": -15.0, "middle": 60.0, "near": 105.0}, {"forehand": 50.0, "centre": 0.0, "backhand": -50.0}
STANDS = [
    Stand(f"{depth} {side}", depth, side, Place(PLACES[0][depth], PLACES[1][side]))
    for depth, side in product(DEPTH.names, SIDE.names)
]
WORDS = {"depth": DEPTH.names, "side": SIDE.names, "spin_family": SPIN_FAMILY.names, "tempo_band": ("slow", "fast")}
EVEN, UNEVEN = (1, 1, 1), (3, 2, 1)

Shares = dict[Cell, float]


def grid(cells: int, weights: tuple[int, ...]) -> Shares:
    """The wanted shares of 54 combinations, or with three lengths of 162, each dimension's words so weighted."""
    words = WORDS if cells == 54 else WORDS | {"length": LENGTH.names}
    shares = {}
    for values in product(*words.values()):
        weight = np.prod([weights[names.index(word)] for names, word in zip(words.values(), values, strict=True)])
        shares[cell_of(dict(zip(words, values, strict=True)))] = float(weight)
    total = sum(shares.values())
    return {cell: share / total for cell, share in shares.items()}


def day_of(session: int) -> date:
    """Tuesdays and Fridays."""
    week, second = divmod(session, 2)
    return FIRST_DAY + timedelta(weeks=week, days=3 * second)


@dataclass
class Player:
    """One player's balls: each block as its day, its combination, and how many."""

    shares: Shares
    fed: list[tuple[date, Cell, int]] = field(default_factory=list)

    def wanted(self, day: date) -> list[Wanted]:
        """The target as it stands on a day."""
        balls = self.in_window(day)
        last_met = {cell: on for on, cell, _ in self.fed}
        return [
            Wanted(dict(cell), share, balls.get(cell, 0), (day - last_met[cell]).days if cell in last_met else None)
            for cell, share in self.shares.items()
        ]

    def in_window(self, day: date) -> dict[Cell, int]:
        """The balls of each combination in the window that ends with the week of the day."""
        sunday = day + timedelta(days=6 - day.weekday())
        balls: dict[Cell, int] = {}
        for on, cell, count in self.fed:
            if (sunday - on).days < SETTINGS.window_days:
                balls[cell] = balls.get(cell, 0) + count
        return balls

    def covered(self, day: date) -> set[Cell]:
        """The combinations with enough balls."""
        return {cell for cell, balls in self.in_window(day).items() if balls >= SETTINGS.covered_balls}

    def pairs_are_covered(self, day: date) -> bool:
        """Whether every two values that the target wants came together often enough."""
        together = dict.fromkeys((pair for cell in self.shares for pair in pairs_of(cell)), 0)
        for cell, balls in self.in_window(day).items():
            for pair in pairs_of(cell):
                together[pair] += balls
        return min(together.values()) >= SETTINGS.covered_balls


Planner = Callable[[Player, date, np.random.Generator], Plan]


def by_worth(player: Player, day: date, _draw: np.random.Generator) -> Plan:
    """What the product plans."""
    wanted = player.wanted(day)
    found = enumerate(lacks(wanted, SETTINGS), start=1)
    gaps = [Gap(rank, lack.wanted.words, lack.need_balls, lack.why) for rank, lack in found]
    return plan(gaps, Shortfall.on_a_day(wanted, SETTINGS), STANDS, MINUTES, SETTINGS)


def at_random(player: Player, _day: date, draw: np.random.Generator) -> Plan:
    """Blocks of wanted balls as chance draws them by share, brought into the shortest way; until the next is too long.

    That the places are put in order makes the moves of chance as few as they can be.
    """
    cells = list(player.shares)
    order = draw.choice(len(cells), len(cells), replace=False, p=list(player.shares.values()))
    made = Plan((), 0.0)
    for at in range(1, len(cells)):
        longer = _fed([cells[number] for number in order[:at]])
        if longer.minutes > MINUTES:
            break
        made = longer
    return made


def by_programme(player: Player, day: date, _draw: np.random.Generator) -> Plan:
    """The blocks that cover the most wanted share, exactly: one variable for each combination and for each place."""
    open_cells = [cell for cell in player.shares if cell not in player.covered(day)]
    if not open_cells:
        return Plan((), 0.0)
    minutes = [_fed([cell]).minutes for cell in open_cells]
    places = [_stand_of(cell) for cell in open_cells]
    from_place = np.array([[-1.0 * (place == stand) for stand in STANDS] for place in places])
    worth = np.array([player.shares[cell] for cell in open_cells])
    per_move = SETTINGS.feeder_move_minutes
    found = milp(
        -np.concatenate([worth, np.zeros(len(STANDS))]),
        constraints=[
            LinearConstraint([[*minutes, *[per_move] * len(STANDS)]], ub=MINUTES + per_move),
            LinearConstraint(np.hstack([np.eye(len(open_cells)), from_place]), ub=0),
        ],
        integrality=1,
        bounds=Bounds(0, 1),
    )
    return _fed([cell for cell, taken in zip(open_cells, found.x, strict=False) if taken > 0.5])


def _stand_of(cell: Cell) -> Stand:
    words = dict(cell)
    return next(stand for stand in STANDS if (stand.depth, stand.side) == (words["depth"], words["side"]))


def _fed(cells: list[Cell]) -> Plan:
    """A block of each combination, in the shortest way."""
    gaps = [Gap(rank, dict(cell), SETTINGS.covered_balls, "never_met") for rank, cell in enumerate(cells, start=1)]
    return arranged([drill_of(gap, _stand_of(cell), SETTINGS) for gap, cell in zip(gaps, cells, strict=True)], SETTINGS)


@dataclass(frozen=True)
class Season:
    """What twelve weeks brought, each the mean over the players."""

    never_fed: float
    sessions_to_pairs: float
    covered: float
    covered_share: float
    moves: float


def season(planner: Planner, shares: Shares, players: int) -> Season:
    """Every player's twelve weeks by one way of planning."""
    told = []
    for number in range(players):
        draw = np.random.default_rng([SEED, number])
        player, moves, sessions_to_pairs = _beginner(shares, draw), 0, float("nan")
        for session in range(SESSIONS):
            day = day_of(session)
            made = planner(player, day, draw)
            player.fed += [(day, drill.gap.cell, drill.balls) for drill in made.drills]
            moves += len(made.moves)
            if np.isnan(sessions_to_pairs) and player.pairs_are_covered(day):
                sessions_to_pairs = session + 1
        covered = player.covered(day_of(SESSIONS - 1))
        never_fed = len(shares.keys() - {cell for _, cell, _ in player.fed})
        share = sum(shares[cell] for cell in covered)
        told.append((never_fed, sessions_to_pairs, len(covered) / len(shares), share, moves / SESSIONS))
    return Season(*np.mean(told, axis=0).tolist())


def _beginner(shares: Shares, draw: np.random.Generator) -> Player:
    """Four sessions of three kinds of ball from one place, before the twelve weeks."""
    player, corner = Player(shares), STANDS[draw.integers(len(STANDS))]
    own = [cell for cell in shares if _stand_of(cell) == corner]
    for session in range(-4, 0):
        kinds = draw.choice(len(own), 3, replace=False)
        player.fed += [(day_of(session), own[kind], 60) for kind in kinds]
    return player


@dataclass(frozen=True)
class Bar:
    """Something that the plans must keep: what was seen, and what is asked for."""

    what: str
    seen: float
    asked: float
    is_least: bool = False

    @property
    def is_kept(self) -> bool:
        """Whether it is."""
        return self.seen >= self.asked if self.is_least else self.seen <= self.asked

    def __str__(self) -> str:
        limit = f"{'at least' if self.is_least else 'at most'} {self.asked:.3f}"
        return f"{self.what:62s} {self.seen:7.3f}  {limit:16s}  {'kept' if self.is_kept else 'MISSED'}"


def bars(cells: int, weights: tuple[int, ...], players: int) -> list[Bar]:
    """Whether every ball is fed, pairs come as soon as by chance, little coverage is lost, and the feeder rests."""
    shares = grid(cells, weights)
    ours, chance, exact = (season(planner, shares, players) for planner in (by_worth, at_random, by_programme))
    which = f"{cells} combinations, {'equal' if weights == EVEN else 'unequal'} shares: "
    return [
        Bar(f"{which}never fed", ours.never_fed, 0),
        Bar(f"{which}sessions until all pairs", ours.sessions_to_pairs, chance.sessions_to_pairs),
        Bar(f"{which}covered, of the programme's", ours.covered / exact.covered, 0.95, is_least=True),
        Bar(f"{which}covered share, of the same", ours.covered_share / exact.covered_share, 0.95, is_least=True),
        Bar(f"{which}moves, of chance's", ours.moves / chance.moves, 0.5),
    ]


def main() -> int:
    """Print every bar with what was seen; 1 where one is missed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--full", action="store_true", help="ten players of each kind")
    players = 10 if parser.parse_args().full else 3
    found = [bar for cells, weights in product((54, 162), (EVEN, UNEVEN)) for bar in bars(cells, weights, players)]
    print(*found, sep="\n")
    return 0 if all(bar.is_kept for bar in found) else 1


if __name__ == "__main__":
    sys.exit(main())
