"""A federation's build as one is published, of made-up clubs: what the screens of a body read of it, and no more."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

import polars as pl

from sql.federation.publication import ABOUT, FederatedClub, Federation, next_build

LAST_WEEK = date(2026, 3, 9)
WEEKS = 3


@dataclass(frozen=True)
class MadePlayers:
    """So many alike players of a club."""

    club_id: str
    born: int | None
    count: int
    coverage: float | None
    """None: no target."""
    balls: int = 40


def publish(out: Path, clubs: dict[str, str], players: Sequence[MadePlayers], quiet: Sequence[str] = ()) -> Path:
    """Put a build of these clubs, by short name and name, in force; the clubs of `quiet` have no log lately."""
    people = [(one, f"{at:02d}{number:03d}") for at, one in enumerate(players) for number in range(one.count)]
    last = {club: LAST_WEEK - timedelta(weeks=20 if club in quiet else 0) for club in clubs}
    weeks = [(club, day - timedelta(weeks=back)) for club, day in last.items() for back in range(WEEKS)]
    weekly = [(one, code, week) for one, code in people for club, week in weeks if club == one.club_id]
    tables = {
        "core.players": [
            {"club_id": one.club_id, "player_id": code, "birth_year": one.born, "is_active": True}
            for one, code in people
        ],
        "core.settings": [{"club_id": club, "window_days": 28} for club in clubs],
        "core.weeks": [{"club_id": club, "week": week, "window_start": week - timedelta(21)} for club, week in weeks],
        "core.value_weeks": [
            {"club_id": one.club_id, "player_id": code, "week": week, "dimension": "spin", "value": spin, "balls": fed}
            for one, code, week in weekly
            for spin, fed in (("topspin", one.balls), ("backspin", one.balls // 4))
            if one.balls and (spin == "topspin" or code.endswith("0"))
        ],
        "report.standing": [
            {"club_id": one.club_id, "player_id": code, "week": week, "balls": one.balls, "last_logged_on": week}
            for one, code, week in weekly
        ],
        "report.variety": [
            {"club_id": one.club_id, "player_id": code, "week": week, "balls": one.balls, "grid_coverage": one.coverage}
            for one, code, week in weekly
        ],
    }
    with next_build(out) as (number, draft):
        for name, rows in tables.items():
            (draft / name).mkdir()
            pl.DataFrame(rows, infer_schema_length=None).write_parquet(draft / name / "part-000000.parquet")
        about = Federation(
            number=number,
            built_at="2026-03-16T03:00:00+00:00",
            engine="duckdb",
            software_version="0",
            models_sha256="0",
            clubs=tuple(
                FederatedClub(club_id=club, club_name=name, exported_at="2026-03-15 02:00:00+00:00")
                for club, name in clubs.items()
            ),
        )
        (draft / ABOUT).write_text(about.model_dump_json(), encoding="utf-8")
    return out
