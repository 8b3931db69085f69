"""What the judgements must keep to in strained clubs: each share with its bar, printed and held."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from models.mistakes import standing_out
from models.weakness import MetKinds, against_expectation
from tests.simulations.strained import (
    Strain,
    StrainedClub,
    difficulty_of,
    falls_short,
    play,
    trends_of,
    true_change,
    weak_cells,
)

SEED = 20240607

CLUBS = {
    "shared codes": Strain(players=20),
    "own codes": Strain(players=8, own_codes=True),
    "only left-hander": Strain(players=6, left_hander=True),
    "one-player club": Strain(players=1),
}
DRIFTS = (0.0, 0.8, 1.2)
"""By so many logits the mix gets easier over the season."""

PLAIN = Strain(word_sd=0.25, kind_sd=0.15, player_sd=0.3)
"""Balls not very unlike, so that a session tells about as much as forty balls at seven of ten."""
FEW_SESSIONS = replace(PLAIN, sessions=12, kinds_in_session=3)
CHANGES = ("rising", "falling")
DESIGN_EFFECT = 1.16
"""Ten balls a day whose form has a spread of .3 logits: 1 + 9 x .018."""


@dataclass(frozen=True)
class Bar:
    """A share of so many answers, and between what it must lie."""

    what: str
    share: float
    answers: int
    least: float = 0.0
    most: float = 1.0

    @property
    def is_kept(self) -> bool:
        """Whether the share lies within its bar."""
        return self.least <= self.share <= self.most

    @property
    def is_believable(self) -> bool:
        """The same for few answers: whether the share is within three standard errors of its bar."""
        slack = 3 * np.sqrt(0.25 * 0.2 / self.answers)
        return bool(self.least - slack <= self.share <= self.most + slack)

    @property
    def sentence(self) -> str:
        """One line of the table."""
        bar = f"at most {self.most:.2f}" if not self.least else f"at least {self.least:.2f}"
        if self.least and self.most < 1:
            bar = f"{self.least:.2f} to {self.most:.2f}"
        return f"{self.what:58s} {self.share:.3f} of {self.answers:5d}  {bar:13s} {'pass' if self.is_kept else 'FAIL'}"


def clubs_of(strain: Strain, players: int) -> Iterator[StrainedClub]:
    """As many clubs as it takes for so many judged players."""
    return (play(strain, SEED + at) for at in range(-(-players // strain.judged_players)))


def strained_bars(players: int) -> Iterator[Bar]:
    """Trends and rarely met balls of players without progress, in every kind of club under every drift."""
    for (name, club), drift in product(CLUBS.items(), DRIFTS):
        yield from strained_bars_of(f"{name}, drift {drift:.1f}", replace(club, drift=drift), players)


def strained_bars_of(name: str, strain: Strain, players: int) -> Iterator[Bar]:
    """The four bars of one kind of club."""
    changing, holds, apart, weak = [], [], [], []
    for club in clubs_of(strain, players):
        difficulty, judged = difficulty_of(club), strain.judged_players
        trend = trends_of(club, difficulty)
        changing += [verdict in CHANGES for verdict in trend.verdict[:judged]]
        true = true_change(strain, club)
        holds += ((trend.change_low <= true) & (true <= trend.change_high))[:judged].tolist()
        apart += [falls_short(club, difficulty, player) for player in range(judged)]
        for player in range(judged):
            weak += weak_cells(club, difficulty, player, DESIGN_EFFECT).tolist()
    yield Bar(f"{name}: rising or falling", float(np.mean(changing)), len(changing), most=0.06)
    yield Bar(f"{name}: range of the change holds", float(np.mean(holds)), len(holds), least=0.93, most=0.97)
    yield Bar(f"{name}: rarely met", float(np.mean(apart)), len(apart), most=0.06)
    yield Bar(f"{name}: weak", float(np.mean(weak)), len(weak), most=0.05)


def power_bars(players: int) -> Iterator[Bar]:
    """Progress that must be found, and form that carries over, which must not pass for it."""
    few = replace(FEW_SESSIONS, rise=0.8)
    yield _found("52 sessions of 40 balls, +.6 logit: rising", replace(PLAIN, rise=0.6), players, least=0.78)
    yield _found("12 sessions of 30 balls: rising or falling", FEW_SESSIONS, players, most=0.06)
    yield _found("12 sessions of 30 balls, +.8 logit: rising", few, players, least=0.38)
    yield _found("form carried over, .5: rising or falling", replace(PLAIN, carry_over=0.5), players, most=0.07)


def _found(what: str, strain: Strain, players: int, least: float = 0.0, most: float = 1.0) -> Bar:
    sought = ("rising",) if strain.rise else CHANGES
    trends = (trends_of(club, difficulty_of(club)) for club in clubs_of(strain, players))
    found = [verdict in sought for trend in trends for verdict in trend.verdict]
    return Bar(what, float(np.mean(found)), len(found), least, most)


def shown_bars(players: int, weeks: int = 26) -> Iterator[Bar]:
    """Of players without anything to find: who is shown a cut that rises or falls, a mistake, or either."""
    cuts = []
    for club in clubs_of(PLAIN, players):
        trend = trends_of(club, difficulty_of(club), with_cuts=True)
        is_cut = trend.group % 100 > 0
        changing = np.isin(trend.verdict, CHANGES) & is_cut
        cuts += np.bincount(trend.group // 100, changing).astype(bool).tolist()
    mistakes = mistakes_shown(len(cuts), weeks)
    either = np.array(cuts) | mistakes
    for what, found in (("any cut that rises or falls", cuts), ("any mistake", mistakes), ("either of them", either)):
        yield Bar(f"null players who are shown {what}", float(np.mean(found)), len(found), most=0.10)


def mistakes_shown(players: int, weeks: int) -> np.ndarray:
    """Of players whose mistakes go with no spin: for whom one stands out over the judged weeks together."""
    draw = np.random.default_rng(SEED)
    kinds = draw.dirichlet(np.array([0.7, 0.12, 0.09, 0.06, 0.03]) * 40, (players, weeks, 3))
    counts = draw.multinomial(30, kinds).sum(axis=1).astype(float)
    worth = counts.sum(axis=2) / (1 + 29 / 41)
    player = np.repeat(np.arange(players), 3)
    return standing_out(player, counts.reshape(-1, 5), worth.ravel()).reshape(players, -1).any(axis=1)


def faultless_bar() -> Bar:
    """A player who never misses, among others who miss one of four: on none of the cells weak."""
    cells = np.arange(12)
    log = MetKinds(cells, cells, np.full(12, 12.0), np.full(12, 12.0), np.full(12, 1.1), np.zeros((12, 12)))
    weak = against_expectation(log, np.full(12, 12.0)).is_weak
    return Bar("twelve of twelve good: weak", float(np.mean(weak)), len(weak), most=0.0)


def every_bar(players: int) -> Iterator[Bar]:
    """All of them, each on about so many players."""
    yield faultless_bar()
    yield from power_bars(players)
    yield from shown_bars(players)
    yield from strained_bars(players)
