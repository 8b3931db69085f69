"""Small clubs taken through both stages of a build."""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import date, timedelta
from typing import Any

from sql.judging import Judgement, judgements_in_order
from sql.making_tables import make_judgements
from tests.sql.clubs import Club, Row, a_club

FIRST_WEEK = date(2026, 3, 2)
FIRST_STAGE = (
    *("core.sessions", "core.success_windows", "core.mistake_windows", "core.cut_sessions", "core.block_conditions"),
    *("core.player_conditions", "core.block_cells", "core.block_changes", "core.probe_sittings", "report.coverage"),
)
"""What the judgements of training read, besides what these read."""

BALLS_ALONE = {"assumed_likeness": 0.0, "likeness_comparisons": 10_000}
"""Settings by which every ball stands for itself."""

OF_TRAINING = (
    *("block_likeness", "cell_success", "equal_balls", "errors", "gaps", "judgements", "probes", "rarely_met"),
    *("standard_success", "success", "then_and_now", "trend", "variety_cost"),
)
"""The judged tables that speak of players; others speak of feeders."""

SETUPS = [{"setup": code, "x_cm": x, "y_cm": 0} for code, x in (("B", -20), ("M", 60), ("N", 120))]


def in_week(number: int, days: int = 0) -> dict[str, date]:
    """A day of the club's week of that number, from 0; its Monday, or so many days later."""
    return {"session_date": FIRST_WEEK + timedelta(weeks=number, days=days)}


Grid = Mapping[str, Mapping[str, float] | Sequence[str]]
"""The words of each dimension with their shares, or the words alone for even ones."""


def fill(club: Club, grid: Grid, sessions: Sequence[Row] = (), balls: Sequence[Row] = ()) -> Club:
    """A log with one target for all; feeders stand back (B), in the middle (M) and near the net (N).

    Lines that name no block are blocks of their own. Batches are numbered on from the club's last.
    """
    players = sorted({line["player"] for line in (*sessions, *balls)})
    club.load("players", *({"player": code} for code in players))
    club.load("setups", *SETUPS)
    shares = {name: words if isinstance(words, Mapping) else dict.fromkeys(words, 1.0) for name, words in grid.items()}
    club.load(
        "targets", *({"dimension": d, "value": v, "share": s} for d, own in shares.items() for v, s in own.items())
    )
    for kind, lines in (("sessions", sessions), ("balls", balls)):
        if lines:
            club.load(kind, *({"setup": "B", "block": at} | line for at, line in enumerate(lines, start=1)))
    return club


def judge(club: Club) -> Club:
    """Make the judged tables of training, for every club of the warehouse, and all that they read."""
    club.build(*FIRST_STAGE)
    make_judgements(club.connection, judgements_of_training())
    return club


def judgements_of_training() -> tuple[Judgement, ...]:
    return tuple(judgement for judgement in judgements_in_order() if judgement.name in OF_TRAINING)


@contextmanager
def a_judged_club(
    grid: Grid, sessions: Sequence[Row] = (), balls: Sequence[Row] = (), **settings: Any
) -> Iterator[Club]:
    """A club of those lines, built and judged."""
    with a_club(**settings) as club:
        yield judge(fill(club, grid, sessions, balls))
