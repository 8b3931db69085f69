"""Do the published tables stay quiet where there is nothing to find? Invented clubs, balls in and tables out.

In the null club every player, kind of ball, session and mistake is alike. In the shuffled clubs the differences are
real, but outcomes are dealt again: among all balls of a player, or among the player's balls of one kind. Either way a
finding is a false alarm, and one in twenty is its nominal rate. The club with real differences stands beside them:
there the findings must appear. `uv run python -m tests.simulations.null_club --full` prints the whole table and fails
where alarms are too many, or where a bar of the strained clubs (`bars.py`: mixes that drift, codes that nobody shares,
form that carries over, many looks) is not kept.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import polars as pl
from scipy import special, stats

from models.effective_balls import effective_balls
from models.groups import group_rows
from models.mistakes import standing_out
from models.probes import Probe, probe_change
from models.variety_cost import CellBlocks, variety_cost
from tests.simulations.balls import ClubBalls, ClubTruth, block_hits, play
from tests.simulations.bars import every_bar
from tests.simulations.warehoused import judged

NULL_CLUB = ClubTruth()
UNLIKE_CLUB = ClubTruth(player_sd=0.5, cell_sd=0.8, cost=0.20, rise=1.5, habit=1.0, net_on_backspin=0.9)
MATCHED_CLUB = ClubTruth(player_sd=0.6, cell_sd=0.8, matched=1.0)
SEED = 20240607
NOMINAL = 0.05
CLUBS_TOGETHER = 5

PUBLISHED = ("trend", "then_and_now", "variety_cost", "rarely_met", "gaps", "errors", "coverage")


@dataclass(frozen=True)
class Findings:
    """How many of the answers given claim a finding."""

    claimed: int
    answers: int

    def __add__(self, other: Findings) -> Findings:
        return Findings(self.claimed + other.claimed, self.answers + other.answers)

    @property
    def rate(self) -> float:
        """Share of answers that claim a finding."""
        return self.claimed / self.answers

    @property
    def is_quiet(self) -> bool:
        """Whether so many false alarms are believable at their nominal rate: chance exceeds it once in a thousand."""
        return self.claimed <= stats.binom.ppf(0.999, self.answers, NOMINAL)


def null_alarms(clubs: int) -> dict[str, Findings]:
    """Findings of each kind in clubs without differences."""
    return findings(NULL_CLUB, clubs)


def real_findings(clubs: int) -> dict[str, Findings]:
    """The same where kinds of ball differ, and players rise, lose on changes and are better at what they know."""
    return findings(UNLIKE_CLUB, clubs)


def shuffled_alarms(clubs: int) -> dict[str, Findings]:
    """The same in those clubs with outcomes dealt again among all balls of a player."""
    return findings(UNLIKE_CLUB, clubs, lambda balls: (balls.player,))


def shuffled_by_kind_alarms(clubs: int) -> dict[str, Findings]:
    """The same with outcomes dealt again among a player's balls of one kind; what differs between kinds stays.

    Only what compares like with like must fall silent: a kind met late keeps its late rate, which a trend may tell.
    """
    found = findings(UNLIKE_CLUB, clubs, lambda balls: (balls.player, balls.cell))
    return {what: found[what] for what in ("then and now", "cost of a change")}


def matched_alarms(clubs: int) -> dict[str, Findings]:
    """Findings where strong players are fed the hard balls, and none rises or is better at what they know.

    Club mates' plain rates make hard balls look easy there: rare balls then seem to fail 11 players of a hundred.
    """
    found = findings(MATCHED_CLUB, clubs)
    return {what: found[what] for what in ("trend", "then and now", "rarely met")}


def findings(
    truth: ClubTruth, clubs: int, dealt_among: Callable[[ClubBalls], tuple[np.ndarray, ...]] | None = None
) -> dict[str, Findings]:
    """What the published tables claim in so many clubs; outcomes dealt again among balls that agree in those keys."""
    played = [play(truth, SEED + club) for club in range(clubs)]
    if dealt_among:
        played = [dealt_again(balls, *dealt_among(balls), seed=at) for at, balls in enumerate(played)]
    rounds = [_claims(played[at : at + CLUBS_TOGETHER]) for at in range(0, clubs, CLUBS_TOGETHER)]
    return {what: sum((one[what] for one in rounds), Findings(0, 0)) for what in rounds[0]}


def dealt_again(balls: ClubBalls, *keys: np.ndarray, seed: int) -> ClubBalls:
    """The outcomes of balls that agree in the keys, in another order."""
    group = group_rows(*keys).of_row
    chance = np.random.default_rng(seed).random(len(group))
    outcome = np.empty_like(balls.outcome)
    outcome[np.argsort(group, kind="stable")] = balls.outcome[np.lexsort((chance, group))]
    return replace(balls, outcome=outcome)


def _claims(clubs: list[ClubBalls]) -> dict[str, Findings]:
    tables = judged(clubs, *(f"report.{name}" for name in PUBLISHED))
    trend, change, cost, reach, gaps, errors, coverage = tables.values()
    sentence = trend.filter(pl.col("cut").is_in(["all", "depth"]))
    mistakes = _at_the_end(errors).group_by("club_id", "player_id").agg(pl.col("stands_out").any())
    weak = gaps.filter(pl.col("why") == "weak")
    return {
        "trend": _leaves_out_zero(sentence, "slope_low", "slope_high"),
        "then and now": _leaves_out_zero(_at_the_end(change), "change_low", "change_high"),
        "cost of a change": _leaves_out_zero(cost, "low", "high"),
        "rarely met": _leaves_out_zero(reach, "low", "high"),
        "weak": Findings(len(weak), len(_at_the_end(coverage).filter(pl.col("status") == "covered"))),
        "mistakes": Findings(int(mistakes["stands_out"].sum()), len(mistakes)),
    }


def _at_the_end(table: pl.DataFrame) -> pl.DataFrame:
    """The last week only: windows of neighbouring weeks say nearly the same."""
    return table.filter(pl.col("week") == pl.col("week").max())


def _leaves_out_zero(table: pl.DataFrame, low: str, high: str) -> Findings:
    given = table.drop_nulls(low)
    return Findings(len(given.filter((pl.col(low) > 0) | (pl.col(high) < 0))), len(given))


def probe_alarms(players: int, seed: int = SEED) -> Findings:
    """Fixed test sets (six blocks of ten balls, twice, no true change) that claim better or worse."""
    draw = np.random.default_rng(seed)
    hits = block_hits(draw, 0.7, 0.05, np.full((players, 2, 6), 10)).sum(axis=2)
    verdicts = [probe_change(Probe(one, 60, 600), Probe(two, 60, 600), 0.05).verdict for one, two in hits.tolist()]
    return Findings(sum(verdict != "not_clear" for verdict in verdicts), players)


def mixed_days_alarms(players: int, seed: int = SEED) -> Findings:
    """Players who lose nothing on changes, and are told so: half of their days are mixed, on others nothing changes.

    Days have their form, which the blocks of a day share; 26 of three blocks of thirty balls.
    """
    draw = np.random.default_rng(seed)
    session, block, place = (index.ravel() for index in np.indices((26, 3, 3)))
    claimed = 0
    for player in range(players):
        is_mixed = draw.random(26)[session] < 0.5
        cell = np.argsort(draw.random((26, 3, 6)), axis=2)[:, :, :3].ravel()
        form = draw.normal(0, 0.3, 26)[session] + np.repeat(draw.normal(0, 0.3, 26 * 3), 3)
        first, repeat = np.where(is_mixed, 8, 0), np.where(is_mixed, 2, np.where(place == 0, 29, 0))
        good = [draw.binomial(count, special.expit(0.8 + form)) for count in (first, repeat)]
        log = CellBlocks(session, 3 * session + block, cell, good[0], first, good[1], repeat, np.full(len(cell), 1 / 6))
        found = variety_cost(log, seed=player)
        claimed += found.low > 0 or found.high < 0
    return Findings(claimed, players)


def unsteady_mistake_alarms(players: int, seed: int = SEED) -> Findings:
    """Players for whom a mistake stands out on one of three spins, though only blocks differ in their mistakes."""
    draw = np.random.default_rng(seed)
    hits = block_hits(draw, 0.7, 0.05, np.full((players, 3, 8), 30))
    kinds = draw.dirichlet(np.array([0.4, 0.3, 0.2, 0.1]) * 20, (players, 3, 8))
    mistakes = draw.multinomial(30 - hits, kinds).sum(axis=2)
    counts = np.concatenate([hits.sum(axis=2)[..., None], mistakes], axis=2)
    worth = effective_balls(np.full(3 * players, 240), np.full(3 * players, 8 * 30**2), 0.05)
    found = standing_out(np.repeat(np.arange(players), 3), counts.reshape(3 * players, -1), worth)
    return Findings(int(found.reshape(players, -1).any(axis=1).sum()), players)


def main() -> int:
    """Print the share of findings of each kind; 1 if false alarms exceed their nominal rate beyond chance."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument(
        "--full",
        action="store_true",
        help="twenty clubs of twenty, twelve hundred players in each strain",
    )
    clubs = 20 if parser.parse_args().full else 2
    held = []
    for bar in every_bar(players=60 * clubs):
        held.append(bar.is_kept if clubs > 2 else bar.is_believable)
        print(bar.sentence, flush=True)
    alarms = {f"null club, {what}": found for what, found in null_alarms(clubs).items()}
    alarms |= {f"shuffled, {what}": found for what, found in shuffled_alarms(clubs).items()}
    alarms |= {f"shuffled by kind, {what}": found for what, found in shuffled_by_kind_alarms(clubs).items()}
    alarms |= {f"strong on hard balls, {what}": found for what, found in matched_alarms(clubs).items()}
    alarms |= {"fixed test set": probe_alarms(clubs * 20), "mistakes by block": unsteady_mistake_alarms(clubs * 20)}
    alarms |= {"some days mixed, cost of a change": mixed_days_alarms(clubs * 20)}
    for what, found in alarms.items():
        print(f"{what:36s} {found.rate:.3f} of {found.answers}{'' if found.is_quiet else '  <- too many'}")
    for what, found in real_findings(clubs).items():
        print(f"{'real differences, ' + what:36s} {found.rate:.3f} of {found.answers}")
    return 0 if all([found.is_quiet for found in alarms.values()] + held) else 1


if __name__ == "__main__":
    sys.exit(main())
