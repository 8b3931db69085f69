"""Whether a federation's tables say of some clubs what a build of these clubs alone says, by DuckDB."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

import duckdb

from models.refusal import Refused
from sql.catalogue import Contract
from sql.federation.judging_apart import Types
from sql.federation.on_duckdb import ONE_FOR_ALL, build_batch, published_contracts
from sql.federation.publication import parquet_of
from sql.lake.manifest import ClubManifest
from sql.literals import literal, no_rows, quoted

TOLERANCE = 1e-9
"""Of a double, relative to its size, or absolute below 1: engines add in other orders."""


class SaysOtherwise(Refused):
    """An engine gave other rows than DuckDB; nothing is published."""


def require_same(lake: Path, clubs: Sequence[ClubManifest], count: int, build: Path, number: int, types: Types) -> None:
    """Build `count` of the clubs, spread evenly, once more by DuckDB and compare every published table.

    Keys and all that is no double are compared exactly. Raises SaysOtherwise.
    """
    count = min(count, len(clubs))
    chosen = [clubs[at * len(clubs) // count] for at in range(count)]
    with TemporaryDirectory(dir=build.parent, prefix="draft-check-") as folder:
        build_batch(lake, chosen, Path(folder), number, 0)
        different = list(different_tables(build, Path(folder), [club.club_id for club in chosen], types))
    if different:
        raise SaysOtherwise(
            f"the engine says otherwise than DuckDB: {'; '.join(different)}. Nothing was published.",
            to_do="Build by DuckDB (--engine duckdb), and tell the developers which engine and version this was.",
        )


def different_tables(build: Path, other: Path, clubs: Sequence[str], types: Types) -> Iterator[str]:
    """The tables that say otherwise of these clubs in two builds: in how many rows, and of one in which columns."""
    names = ", ".join(literal(club) for club in clubs)
    with duckdb.connect() as connection:
        for contract in published_contracts():
            columns = types[contract.table]
            of_these = "" if contract.table in ONE_FOR_ALL else f" where club_id in ({names})"
            both = [_rows(folder, contract.table, columns) + of_these for folder in (other, build)]
            ((rows, one),) = connection.execute(_unlike_rows(contract, columns, *both)).fetchall()
            if rows:
                yield f"{contract.table} in {rows} rows, such as {one}"


def _rows(build: Path, table: str, columns: dict[str, str]) -> str:
    """A select of a table's rows; of none where no file of it was written."""
    if not any((build / table).rglob("*.parquet")):
        return f"select * from {no_rows(columns)}"
    files = literal(parquet_of(build, table))
    return f"select {', '.join(map(quoted, columns))} from read_parquet({files}, hive_partitioning = false)"


def _unlike_rows(contract: Contract, columns: dict[str, str], one: str, other: str) -> str:
    """How many rows are in one only, or unlike; and the first of them with the columns that differ."""
    keys = [quoted(key) for key in contract.grain]
    unlike = {name: _unlike(quoted(name), kind) for name, kind in columns.items() if name not in contract.grain}
    is_alone = f"o.{keys[0]} is null or t.{keys[0]} is null"
    key = ", '/', ".join(f"coalesce(cast(o.{key} as varchar), cast(t.{key} as varchar))" for key in keys)
    where = "".join(f", case when {is_so} then '{name} ' else '' end" for name, is_so in unlike.items())
    return f"""
        select count(*), min(concat({key}, ': ', case when {is_alone} then 'in one only ' else '' end{where}))
        from ({one}) as o full join ({other}) as t on {" and ".join(f"o.{key} = t.{key}" for key in keys)}
        where {" or ".join((is_alone, *unlike.values()))}"""


def _unlike(name: str, kind: str) -> str:
    if kind != "DOUBLE":
        return f"o.{name} is distinct from t.{name}"
    size = f"greatest(1e0, abs(o.{name}))"
    return f"(o.{name} is null) <> (t.{name} is null) or abs(o.{name} - t.{name}) > {TOLERANCE} * {size}"
