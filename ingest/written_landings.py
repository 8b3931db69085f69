"""Landings noted on a screen, made into a file like any other, so that they go the same way into the log."""

import csv
import io
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from ingest.loading import Incoming
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
    text = io.StringIO()
    writer = csv.DictWriter(text, COLUMNS, lineterminator="\r\n")
    writer.writeheader()
    for ball, landing in enumerate(landings, start=first_ball):
        placed = dict(zip(PLACED, (ball, f"{landing.x_cm:g}", f"{landing.y_cm:g}"), strict=True))
        line = {**shared, **placed}
        writer.writerow({name: "" if value is None else value for name, value in line.items()})
    return Incoming(f"landings {written_at:%Y-%m-%d %H:%M}", text.getvalue().encode(), source="form", kind="landings")
