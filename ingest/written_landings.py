"""Landings noted on a screen, made into a file like any other, so that they go the same way into the log."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from ingest.incoming import Incoming
from ingest.written_lines import lines_as_file
from models.records import RECORDS, columns_of
from models.stance import Place

LANDING = RECORDS["landings"]

PLACED = ("ball", "landing_x_cm", "landing_y_cm")
"""What each ball has for itself; all else is the same for the balls of one setting."""

COLUMNS = {column.name: column for column in columns_of(LANDING)}


def as_landings_file(
    shared: Mapping[str, Any], landings: Sequence[Place], first_ball: int, written_at: datetime
) -> Incoming:
    """One line for each ball of one setting of the dials, numbered from the first."""
    lines = [
        {**shared, **dict(zip(PLACED, (ball, landing.x_cm, landing.y_cm), strict=True))}
        for ball, landing in enumerate(landings, start=first_ball)
    ]
    return lines_as_file(lines, f"landings {written_at:%Y-%m-%d %H:%M}", LANDING.kind)
