"""The second stage of a build: judgements of `models/` over the tables of the first, stored as tables beside them.

A module `sql/judged/trend.py` is the table `report.trend`. Its docstring is a header like that of an SQL model; its
`judge` takes the evidence of one club and gives the rows; its `VERSION` rises when it would judge otherwise; `READS`
names the judged tables that must be made before it, where there are any.
"""

import importlib
import pkgutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from graphlib import TopologicalSorter
from types import ModuleType
from typing import Any

import duckdb
import numpy as np
import numpy.typing as npt
import polars as pl

import sql.judged
from models.effective_balls import effective_balls
from models.groups import FloatArray
from models.likeness import ClubCorrelation, MetBlocks, club_correlation
from models.settings import Settings
from sql.catalogue import Contract, models_in_order, read_contract
from sql.dimensions import with_dimensions
from sql.known_balls import KnownBalls, known_balls
from sql.literals import literal

SEED = 20260301
"""Fixes every draw by chance, so that the same log gives the same figures to the last digit."""

ALIKE_WEEKS = 4
"""Blocks are compared within so many weeks, so that slow progress does not pass for balls that stick together."""


@dataclass(frozen=True)
class Judgement(Contract):
    """One judged table, as its module declares it."""

    judge: Callable[["Evidence"], pl.DataFrame]
    version: int
    reads: frozenset[str]
    """The judged tables that are to be made before it."""


@dataclass(frozen=True)
class Evidence:
    """What the judgements of one club may use; `last_week` is the Monday of the last week in the log."""

    connection: duckdb.DuckDBPyConnection
    settings: Settings
    balls: KnownBalls
    likeness: ClubCorrelation
    seed: int
    last_week: date | None
    versions: dict[str, int]

    def rows(self, table: str) -> pl.DataFrame:
        """A table of the first stage, this club's part, in the order of its grain."""
        return _rows(self.connection, table, self.settings.club_id)

    def judged_rows(self, table: str) -> pl.DataFrame:
        """The same, only the weeks over which trends and changes are judged."""
        return self.rows(table).filter(pl.col("week") > self.judged_after)

    @property
    def judged_after(self) -> date:
        """The last week before those that are judged; of an empty log, any."""
        return (self.last_week or date.max) - timedelta(weeks=self.settings.judged_weeks)

    def effective_balls(self, rows: pl.DataFrame) -> FloatArray:
        """What the balls of each row are worth; it has balls, squared_block_balls and squared_session_balls."""
        counts = (rows["balls"], rows["squared_block_balls"])
        alike = self.likeness
        return effective_balls(*counts, alike.rho, rows["squared_session_balls"], alike.rho_session)

    def in_windows(self, rows: pl.DataFrame) -> pl.DataFrame:
        """Rows of weeks, once for each window that holds them; `week` becomes the last week of the window."""
        reach = range(self.settings.window_days // 7)
        return pl.concat([rows.with_columns(pl.col("week") + pl.duration(weeks=ahead)) for ahead in reach])


@cache
def judgements_in_order() -> tuple[Judgement, ...]:
    """Every judgement, each after those that it reads. Raises BrokenModel."""
    names = sorted(module.name for module in pkgutil.iter_modules(sql.judged.__path__))
    judgements = {f"report.{name}": _judgement(name, importlib.import_module(f"sql.judged.{name}")) for name in names}
    order = TopologicalSorter({table: sorted(judgement.reads) for table, judgement in judgements.items()})
    return tuple(judgements[table] for table in order.static_order())


def _judgement(name: str, module: ModuleType) -> Judgement:
    header = [f" {line}" for line in with_dimensions(module.__doc__ or "").splitlines()]
    contract = read_contract("report", name, header)
    reads = frozenset(getattr(module, "READS", ()))
    return Judgement(**vars(contract), judge=module.judge, version=module.VERSION, reads=reads)


def all_evidence(connection: duckdb.DuckDBPyConnection, judgements: tuple[Judgement, ...]) -> list[Evidence]:
    """The evidence of every club in the warehouse."""
    clubs = connection.sql("select * from log.settings order by club_id").pl().to_dicts()
    versions = {judgement.table: judgement.version for judgement in judgements}
    return [_evidence(connection, Settings.model_validate(club), versions) for club in clubs]


def _evidence(connection: duckdb.DuckDBPyConnection, settings: Settings, versions: dict[str, int]) -> Evidence:
    weeks = _rows(connection, "core.weeks", settings.club_id)["week"]
    last_week = weeks.to_list()[-1] if len(weeks) else None
    blocks = _rows(connection, "core.block_conditions", settings.club_id)
    kinds = _rows(connection, "core.conditions", settings.club_id)
    balls = known_balls(blocks, kinds, settings.judged_weeks)
    return Evidence(connection, settings, balls, _likeness(blocks, balls, settings), SEED, last_week, versions)


def _likeness(rows: pl.DataFrame, balls: KnownBalls, settings: Settings) -> ClubCorrelation:
    stretch = (pl.col("week") - date(2000, 1, 3)).dt.total_days() // (7 * ALIKE_WEEKS)
    return club_correlation(
        MetBlocks(
            numbered(rows.with_columns(stretch=stretch), "player_id", "stretch"),
            numbered(rows, "condition"),
            numbered(rows, "session_id"),
            rows["block"],
            rows["good"],
            rows["balls"].to_numpy() * balls.difficulty.expected_rate,
            rows["balls"],
        ),
        assumed_rho=settings.assumed_likeness,
        least_freedom=settings.likeness_comparisons,
    )


def _rows(connection: duckdb.DuckDBPyConnection, table: str, club_id: str) -> pl.DataFrame:
    # Tables are stored in the order of their grain, and a scan on one thread keeps it; but rows that were made anew
    # stand behind those that were carried over.
    ordered = _order_of_carried().get(table, "")
    rows: pl.DataFrame = connection.sql(f"select * from {table} where club_id = {literal(club_id)}{ordered}").pl()
    return rows


@cache
def _order_of_carried() -> dict[str, str]:
    return {model.table: f" order by {', '.join(model.grain)}" for model in models_in_order() if model.carried}


def numbered(rows: pl.DataFrame, *columns: str) -> npt.NDArray[np.int64]:
    """A number for each row, the same where the columns are the same, rising with them from 0."""
    code = _places(rows[columns[0]])
    for name in columns[1:]:
        place = _places(rows[name])
        code = _dense(code * (int(place.max(initial=0)) + 1) + place)
    return code


def _places(column: pl.Series) -> npt.NDArray[np.int64]:
    """Where each value stands among the different ones in their order, from 0; what is empty stands first."""
    if column.dtype == pl.String:
        column = column.cast(pl.Enum(column.unique().sort().drop_nulls())).to_physical()
    if column.null_count():
        return column.rank("dense").cast(pl.Int64).fill_null(0).to_numpy()
    return _dense(column.to_numpy())


def _dense(code: npt.NDArray[Any]) -> npt.NDArray[np.int64]:
    return np.unique(code, return_inverse=True)[1].astype(np.int64)


def each_player(
    evidence: Evidence,
    rows: pl.DataFrame,
    judge_one: Callable[[Evidence, pl.DataFrame], Any],
    schema: dict[str, type[pl.DataType]],
) -> pl.DataFrame:
    """A row for each player, from the fields of what `judge_one` says of their rows; what is no number is empty."""
    club = {"club_id": evidence.settings.club_id}
    records = [
        club | {"player_id": player} | vars(judge_one(evidence, own))
        for (player,), own in rows.group_by("player_id", maintain_order=True)
    ]
    return pl.DataFrame(records, schema=schema, strict=False).with_columns(pl.col(pl.Float64).fill_nan(None))


def null_if_nan(values: npt.ArrayLike) -> pl.Series:
    """A column of numbers in which what is not a number is empty."""
    return pl.Series(np.asarray(values, dtype=np.float64), nan_to_null=True)
