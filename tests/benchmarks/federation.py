"""What a build of a federation costs by its size: DuckDB in batches and Spark with two workers, side by side.

`uv run python -m tests.benchmarks.federation --clubs 1,20 --balls 100000 --out figures.json` makes one invented club of
20 players and so many balls, and lakes of so many copies of it under names of their own. With `--group spark` and Java
it begins a master and two workers and builds on these too. It measures wall and processor seconds and memory over all
processes of a build, and bytes. What larger sizes would cost is told by arithmetic from the slope, and marked as such.
"""

import argparse
import json
import os
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import nullcontext
from dataclasses import asdict, dataclass
from itertools import groupby
from pathlib import Path

from sql.folder import DataFolder
from sql.lake.exporting import export_log
from tests.benchmarks.made_logs import write_balls, write_basics
from tests.benchmarks.steps import load_only
from tests.benchmarks.watched import MARK, Watched, watched
from tests.sql.federation.copied_clubs import copies
from tests.sql.federation.spark_cluster import a_cluster, spark_home

PLAYERS = 20
LARGER_BALLS = (100_000_000, 1_000_000_000, 10_000_000_000)
PRICE_PER_CORE_HOUR = 0.05
"""An assumption, in whatever money: what a core of a rented machine may cost for an hour. `--price` says another."""


@dataclass(frozen=True)
class Built:
    """One build that was measured."""

    engine: str
    clubs: int
    balls: int
    wall_s: float
    cpu_s: float
    peak_mb: float
    lake_mb: float
    out_mb: float

    @property
    def row(self) -> str:
        """A row of a Markdown table."""
        seconds = f"{self.wall_s:.1f} | {self.cpu_s:.1f} | {1e6 * self.cpu_s / self.balls:.1f}"
        memory = f"{self.peak_mb:,.0f} | {self.lake_mb:.1f} | {self.out_mb:.1f}"
        return f"| {self.engine} | {self.clubs:,} | {self.balls:,} | {seconds} | {memory} |"


HEAD = (
    "| engine | clubs | balls | wall s | cpu s | cpu s per million balls | peak MB | lake MB | tables MB |\n"
    "| --- | --- | --- | --- | --- | --- | --- | --- | --- |"
)


def one_club(scratch: Path, balls: int) -> Path:
    """A lake of one invented club."""
    folder = DataFolder(scratch / "club")
    files = [*write_basics(scratch, PLAYERS), *write_balls(scratch, 0, balls, players=PLAYERS)]
    load_only(folder.path, files)
    export_log(folder, scratch / "one")
    return scratch / "one"


def measured(engine: str, called: str, lake: Path, clubs: int, balls: int, more: Sequence[str]) -> Built:
    """Build a lake, by the command as everybody gives it."""
    out = lake.with_name(f"out-{called}-{clubs}")
    asked = ["federation", "build", "--lake", str(lake), "--out", str(out), "--engine", engine, *more]
    cost: Watched = watched(["halflong", *asked])
    return Built(called, clubs, balls, cost.wall_s, cost.cpu_s, cost.peak_mb, _mb(lake), _mb(out))


def _mb(folder: Path) -> float:
    return sum(file.stat().st_size for file in folder.rglob("*") if file.is_file()) / 1e6


def builds(scratch: Path, sizes: Sequence[int], balls: int, more: Sequence[str], executor_mb: int) -> Iterator[Built]:
    """Every size by every engine that is here."""
    one, home = one_club(scratch, balls), spark_home()
    lakes = {clubs: copies(one, scratch / f"lake-{clubs}", clubs) for clubs in sizes}
    for clubs, lake in lakes.items():
        yield measured("duckdb", "duckdb", lake, clubs, clubs * balls, more)
    os.environ[MARK] = "yes"  # Of master and workers, too.
    cluster = a_cluster(home, scratch / "cluster", executor_mb=executor_mb, more="") if home else nullcontext()
    with cluster as begun:
        for clubs, lake in lakes.items() if begun else ():
            yield measured(begun.master, "spark, two workers", lake, clubs, clubs * balls, ())


def slopes(found: Sequence[Built]) -> dict[str, float]:
    """Processor seconds for a million balls more, of each engine between its smallest and its largest size."""
    told = {}
    for engine, builds_of_it in groupby(found, key=lambda one: one.engine):
        by_size = sorted(builds_of_it, key=lambda one: one.balls)
        least, most = by_size[0], by_size[-1]
        if most.balls > least.balls:
            told[engine] = 1e6 * (most.cpu_s - least.cpu_s) / (most.balls - least.balls)
    return told


def arithmetic(told: dict[str, float], price: float) -> Iterator[str]:
    """What a year of so many balls would cost at these slopes."""
    yield f"By arithmetic, not measured: seconds of a core per million, times balls; a core's hour: {price:g}.\n"
    yield "| balls in a year | engine | core hours for a full build | price of it |\n| --- | --- | --- | --- |"
    for balls in LARGER_BALLS:
        for engine, slope in told.items():
            hours = slope * balls / 1e6 / 3600
            yield f"| {balls:,} | {engine} | {hours:,.1f} | {hours * price:,.2f} |"


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--clubs", default="1,5", help="sizes, with commas")
    asked.add_argument("--balls", type=int, default=20_000, help="of each club")
    asked.add_argument("--at-once", help="lines that a process of DuckDB takes at once")
    asked.add_argument("--processes", help="of DuckDB")
    asked.add_argument("--executor-mb", type=int, default=2500, help="memory of each of Spark's two executors")
    asked.add_argument("--price", type=float, default=PRICE_PER_CORE_HOUR)
    asked.add_argument("--out", type=Path)
    given = asked.parse_args()
    more = [*(["--at-once", given.at_once] if given.at_once else [])]
    more += ["--processes", given.processes] if given.processes else []
    found = []
    with tempfile.TemporaryDirectory(prefix="federation-") as folder:
        print(f"{os.cpu_count()} cores\n\n{HEAD}", flush=True)
        for built in builds(
            Path(folder), [int(one) for one in given.clubs.split(",")], given.balls, more, given.executor_mb
        ):
            found.append(built)
            print(built.row, flush=True)
    told = slopes(found)
    print("".join(f"\n{engine}: {slope:.1f} s of a core per million balls more" for engine, slope in told.items()))
    if told:
        print("\n" + "\n".join(arithmetic(told, given.price)))
    if given.out:
        figures = {"builds": [asdict(one) for one in found], "cpu_s_per_million_balls": told}
        given.out.write_text(json.dumps(figures, indent=1), encoding="utf-8")


if __name__ == "__main__":
    main()
