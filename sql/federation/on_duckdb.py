"""A federation built by DuckDB: some clubs at a time, so that memory stays bounded however many there are."""

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from multiprocessing import get_context
from pathlib import Path
from tempfile import TemporaryDirectory

import duckdb

from sql.build import THREADS
from sql.catalogue import Contract, models_in_order
from sql.federation.open_lake import open_lake
from sql.judging import judgements_in_order
from sql.lake.columns import DATED
from sql.lake.manifest import ClubManifest
from sql.literals import literal
from sql.making_tables import make_judgements, make_tables
from sql.same_tables import OF_THE_BUILD

MOST_LINES = 1_000_000
"""To begin with, so many lines of sessions and balls are built at once; a club of more is built by itself."""

MEMORY_LIMIT = "1GB"
"""For the tables of one batch of clubs; what needs more goes over the disk."""

BATCHES = "batches of clubs"

Done = Callable[[int, int, str], None]


def build_on_duckdb(
    lake: Path, clubs: Sequence[ClubManifest], into: Path, number: int, processes: int, done: Done, at_once: int
) -> None:
    """Make every published table of all clubs as Parquet below `into`, clubs of so many lines at once.

    Raises BuildFailed, and what DuckDB raises.
    """
    batches = list(enumerate(_batches(clubs, at_once)))
    if processes == 1 or len(batches) == 1:
        for at, batch in batches:
            done(at, len(batches), BATCHES)
            build_batch(lake, batch, into, number, at)
        return
    # Spawned: a process that holds open databases and threads is not to be forked.
    with ProcessPoolExecutor(min(processes, len(batches)), mp_context=get_context("spawn")) as pool:
        waiting = [pool.submit(build_batch, lake, batch, into, number, at) for at, batch in batches]
        for finished, future in enumerate(as_completed(waiting), start=1):
            future.result()
            done(finished, len(batches), BATCHES)


def _batches(clubs: Sequence[ClubManifest], at_once: int) -> Iterator[tuple[ClubManifest, ...]]:
    batch: list[ClubManifest] = []
    lines = 0
    for club in clubs:
        more = sum(club.rows_of(kind) for kind in DATED)
        if batch and lines + more > at_once:
            yield tuple(batch)
            batch, lines = [], 0
        batch.append(club)
        lines += more
    if batch:
        yield tuple(batch)


def build_batch(lake: Path, clubs: Sequence[ClubManifest], into: Path, number: int, at: int) -> None:
    """The tables of some clubs, a file of each table named by the place of the batch."""
    with TemporaryDirectory(dir=into, prefix="working-") as working:
        config: dict[str, str | bool | int | float | list[str]] = {"threads": THREADS, "memory_limit": MEMORY_LIMIT}
        connection = duckdb.connect(str(Path(working) / "batch.duckdb"), config=config)
        try:
            connection.execute("set enable_progress_bar = false")
            open_lake(connection, lake, clubs, number)
            make_tables(connection, models_in_order())
            make_judgements(connection, judgements_in_order())
            _write(connection, into, at)
        finally:
            connection.close()


ONE_FOR_ALL = ("core.words",)
"""Tables that say the same of every club: the first batch has them."""


def published_contracts() -> list[Contract]:
    """The tables that a federation publishes: all but those that tell of one build of one club."""
    made: tuple[Contract, ...] = (*models_in_order(), *judgements_in_order())
    return [contract for contract in made if contract.table not in OF_THE_BUILD]


def _write(connection: duckdb.DuckDBPyConnection, into: Path, at: int) -> None:
    for contract in published_contracts():
        if at and contract.table in ONE_FOR_ALL:
            continue
        folder = into / contract.table
        folder.mkdir(exist_ok=True)
        rows = f"select * from {contract.table} order by {', '.join(contract.grain)}"
        file = literal(folder / f"part-{at:06d}.parquet")
        connection.execute(f"copy ({rows}) to {file} (format parquet, compression zstd)")
