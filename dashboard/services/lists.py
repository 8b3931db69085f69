"""The club's lists changed on somebody's behalf: lines written on a screen, all of them or none, as a batch."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import date
from typing import Any

import polars as pl

from dashboard import questions
from dashboard.questions import Desk
from dashboard.rows.lists import CoveredRow
from dashboard.services.logs import load
from ingest.club_day import now
from ingest.incoming import Incoming
from ingest.loading import Report, check
from ingest.trying import try_file
from ingest.written_lines import lines_as_file
from models.permits import require_planner

Lines = Iterable[Mapping[str, Any]]


def save(desk: Desk, kind: str, lines: Lines, *, today: date, say: Callable[[str], None] = lambda _: None) -> Report:
    """Write lines of one of the lists, unless one of them is refused or all are there already; what became of them.

    Raises NotPermitted, also where it is over for whoever began to write.
    """
    require_planner(desk.reader)
    file = as_file(kind, lines)
    (report,) = check(desk.folder, [file], today=today, say=say)
    if report.refusals or not would_change(report):
        return report
    (report,) = load(desk.folder, [file], desk.reader, today=today, say=say)
    return report


def as_file(kind: str, lines: Lines) -> Incoming:
    """Lines as the file that comes in."""
    written_at = now()
    return lines_as_file(lines, f"{kind}, written {written_at:%Y-%m-%d %H:%M}", kind)


def would_change(report: Report) -> bool:
    """Something of it is not in the log already."""
    return report.comparison.new + report.comparison.correcting > 0


def covered_if(
    desk: Desk, kind: str, lines: Lines, *, today: date, say: Callable[[str], None] = lambda _: None
) -> tuple[tuple[CoveredRow, CoveredRow], ...]:
    """What players whom one may read cover now, and what they would cover with these lines; by name."""
    require_planner(desk.reader)
    made = try_file(desk.folder, as_file(kind, lines), ("report.variety",), today=today, say=say)["report.variety"]
    latest = made.filter(pl.col("week") == pl.col("week").max())
    then = {player: counts for player, *counts in latest.select("player_id", "cells", "cells_covered").iter_rows()}
    return tuple((now, _with(now, then.get(now.player_id))) for now in questions.covered_now(desk))


def _with(now: CoveredRow, counts: list[Any] | None) -> CoveredRow:
    cells, covered = counts or (None, None)
    return replace(now, cells=cells, cells_covered=covered)
