"""What a build may carry over from the last publication: the rows of weeks that ended before any line changed.

The truth is a full build, and a build that carries must publish the same to the last bit. A model whose header says
`carried: by week` promises that the rows of a week follow from the log up to the end of that week (`by session`: those
of a session from its lines); every other table is made anew. What such a model reads besides must say of earlier weeks
what it said before: that is looked at in every build, and where it is not so, everything is made anew.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import duckdb

from models.records import BallLine, SessionLine
from models.weeks import monday_of
from sql.catalogue import Model
from sql.digests import is_other_than_noted, noted_digest
from sql.folder import DataFolder
from sql.made_with import MADE_WITH, MadeWith
from sql.published_file import read_only
from sql.warehouse import warehouse

LINES = tuple(record.kind for record in (SessionLine, BallLine))
"""The logs that grow week by week. A change of any other (who plays, from where, what is wanted) holds for all."""

IN_FORCE = frozenset(f"log.{kind}_in_force" for kind in LINES)

LOGGED = (
    "select b.batch, b.kind, b.withdrawn_at, b.accepted_at, c.stored_sha256 from log.batches as b"
    " left join log.checksums as c on b.club_id = c.club_id and b.batch = c.batch order by b.batch"
)
PUBLISHED = "select batch, kind, withdrawn_at, accepted_at, stored_sha256 from core.batches order by batch"

Batch = tuple[int, str, object, object, str]


class NotCarried(Exception):
    """Something says of an earlier week what it did not say before: everything is to be made anew."""


@dataclass(frozen=True)
class Carried:
    """Of the publication `last`, the rows of weeks before `since`, a Monday, are carried over."""

    last: Path
    since: date

    def anew(self, model: Model) -> str:
        """The condition on the rows of a carried table that are made anew."""
        return f"week >= date '{self.since}'" if model.carried == "by week" else f"session_id >= '{self.since}'"

    def query(self, model: Model) -> str:
        """The model's query for those rows: it need not go through windows of weeks that are carried."""
        weeks = f"(select * from core.player_weeks where week >= date '{self.since}')"
        return re.sub(r"\bcore\.player_weeks\b", weeks, model.query)


def carried(folder: DataFolder, made_with: MadeWith) -> Carried | None:
    """What can be carried over into the next publication; None where everything is to be made anew."""
    last = folder.publication_in_force()
    if last is None or not last.exists() or folder.erased_file.exists():
        return None
    if noted_digest(last) is None or is_other_than_noted(last):
        return None
    try:
        with read_only(last) as connection:
            if connection.execute(MADE_WITH).fetchall() != [made_with]:
                return None
            published = connection.execute(PUBLISHED).fetchall()
            first_week, last_week = connection.execute("select min(week), max(week) from core.weeks").fetchall()[0]
    except duckdb.Error:  # Made by a version that published other columns.
        return None
    since = _first_changed_week(folder, published, last_week) if last_week else None
    return Carried(last, since) if since and since > first_week else None


def _first_changed_week(folder: DataFolder, published: list[Batch], last_week: date) -> date | None:
    """Or the last week of then or now, for it was not over, or is not; None where more than lines of weeks changed."""
    with warehouse(folder) as connection:
        logged = connection.execute(LOGGED).fetchall()
        changed = _changed(published, logged)
        if changed is None:
            return None
        numbers = ", ".join(map(str, changed)) or "null"
        counting = "(select batch from log.batches where withdrawn_at is null)"
        days = [
            connection.execute(
                f"select min(session_date) filter (where batch in ({numbers})),"
                f" max(session_date) filter (where batch in {counting}) from log.{kind}"
            ).fetchall()[0]
            for kind in LINES
        ]
    first_days, last_days = ([day for day in of_kinds if day] for of_kinds in zip(*days, strict=True))
    return min(monday_of(day) for day in [last_week, *first_days, max(last_days, default=last_week)])


def _changed(published: list[Batch], logged: list[Batch]) -> set[int] | None:
    """The batches that came, were withdrawn or accepted since; None where another log, or what is stored, changed."""
    stored_before = {(batch, checksum) for batch, *_, checksum in published}
    stored_now = {(batch, checksum) for batch, *_, checksum in logged}
    changed = set(published) ^ set(logged)
    if not stored_before <= stored_now or any(kind not in LINES for _, kind, *_ in changed):
        return None
    return {batch for batch, *_ in changed}


def looked_at(models: Iterable[Model]) -> frozenset[str]:
    """The tables that carried models read, that are made anew and follow from lines: they might change the past."""
    follow = set(IN_FORCE) | {f"log.{kind}" for kind in LINES}
    read: set[str] = set()
    is_carried: set[str] = set()
    for model in models:
        if model.reads & follow:
            follow.add(model.table)
        if model.carried:
            is_carried.add(model.table)
            read |= model.reads
    return frozenset((read & follow) - is_carried - IN_FORCE)


def require_unchanged(connection: duckdb.DuckDBPyConnection, model: Model, carry: Carried) -> None:
    """Raises NotCarried where a table says of an earlier week, or of a key if it has no weeks, what it did not say."""
    if "week" in model.columns:
        before, now = (f"select * from {t} where week < date '{carry.since}'" for t in _both(model))
        different = f"(({before}) except ({now})) union all (({now}) except ({before}))"
    else:
        keys = " and ".join(f"n.{name} = o.{name}" for name in model.grain)
        last, made = _both(model)
        different = f"select n.* from {made} as n semi join {last} as o on {keys} except select * from {last}"
    if connection.execute(f"select 1 from ({different}) limit 1").fetchall():
        raise NotCarried(model.table)


def _both(model: Model) -> tuple[str, str]:
    return f"last.{model.table}", model.table
