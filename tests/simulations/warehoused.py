"""Invented clubs taken the whole way: balls into the log, the build, the judged tables out."""

from collections.abc import Sequence
from datetime import timedelta
from itertools import product

import numpy as np
import polars as pl

from sql.judging import judgements_in_order
from sql.making_tables import make_judgements
from tests.simulations.balls import ClubBalls
from tests.sql.clubs import Club, a_club
from tests.sql.judged_clubs import FIRST_STAGE, FIRST_WEEK, SETUPS

GRID = {
    "depth": ("back", "middle", "near"),
    "spin_family": ("backspin", "no_spin", "topspin"),
    "tempo_band": ("slow", "fast"),
}
CELLS = list(product("BMN", GRID["spin_family"], (20.0, 80.0)))
"""Setup, spin and tempo of each of the eighteen kinds of ball."""

TARGETS = [{"dimension": dimension, "value": word, "share": 1} for dimension, words in GRID.items() for word in words]


def judged(clubs: Sequence[ClubBalls], *tables: str, **settings: float) -> dict[str, pl.DataFrame]:
    """These tables of clubs that share a warehouse, a session of each player a week; club 3 is "c003"."""
    needed = _with_what_they_read(tables)
    judgements = tuple(judgement for judgement in judgements_in_order() if judgement.table in needed)
    with a_club(club_id="c000", **settings) as first:
        for at, balls in enumerate(clubs):
            own = {"club_id": f"c{at:03}"}
            _load(first if at == 0 else first.neighbour(first.settings.model_copy(update=own)), balls, 10 * at)
        first.build(*FIRST_STAGE)
        make_judgements(first.connection, judgements)
        return {table: first.connection.sql(f"from {table}").pl() for table in tables}


def _with_what_they_read(tables: Sequence[str]) -> set[str]:
    needed = set(tables)
    for judgement in reversed(judgements_in_order()):
        if judgement.table in needed:
            needed |= judgement.reads
    return needed


def _load(club: Club, balls: ClubBalls, batch: int) -> None:
    players = [{"player": f"P{number:02}"} for number in range(len(balls.skill))]
    for kind, rows in (("players", players), ("setups", SETUPS), ("targets", TARGETS)):
        batch += 1
        club.load(kind, *rows, batch=batch)
    week, block = np.divmod(balls.block, balls.blocks_in_session)
    columns = (balls.player, week, block, balls.cell, balls.place, balls.outcome)
    lines = [_line(*values) for values in zip(*(column.tolist() for column in columns), strict=True)]
    club.store("balls", lines, (), batch=batch + 1)


def _line(player: int, week: int, block: int, cell: int, place: int, outcome: str) -> dict[str, object]:
    setup, spin, tempo_bpm = CELLS[cell]
    return {
        "line": place + 2,
        "mends": None,
        "session_date": FIRST_WEEK + timedelta(weeks=week),
        "session": "1",
        "player": f"P{player:02}",
        "block": block + 1,
        "feed": 1,
        "ball": place + 1,
        "setup": setup,
        "spin": spin,
        "length": "long",
        "tempo_bpm": tempo_bpm,
        "outcome": outcome,
    }
