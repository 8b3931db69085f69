"""What reading, building and a week's load cost beside plain tools, measured side by side in one run.

`uv run python -m tests.benchmarks --balls 450000 --out figures.json` makes its own logs: hundreds of players and
setups, one line in a hundred wrong, three dialects. It prints a table and writes it as JSON. Processor seconds and
ratios, no wall time; other work on the machine still makes them larger. `--balls` may be given more than once.
"""

import argparse
import json
import shutil
import tempfile
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path

from tests.benchmarks import steps
from tests.benchmarks.costs import Cost, cost_of
from tests.benchmarks.made_logs import BALLS_IN_WEEK, write_balls, write_basics

DEMO = Path(__file__).parents[2] / "demo_data"
LINES_OF_A_WEEK, LINES_OF_AN_EVENING = 2_000, 40


@dataclass(frozen=True)
class Figure:
    """One figure that was measured: of what, over how many ball lines, how much, and the bar for it, if there is."""

    what: str
    balls: int
    value: float
    unit: str
    bar: float | None = None

    @property
    def row(self) -> str:
        """A row of a Markdown table."""
        bar = "" if self.bar is None else f"{self.bar:g}"
        return f"| {self.what} | {self.balls:,} | {self.value:.3g} {self.unit} | {bar} |"


def of_size(balls: int, scratch: Path) -> Iterator[Figure]:
    """The figures of a club with so many balls, to whole weeks."""
    balls = max(balls // BALLS_IN_WEEK, 2) * BALLS_IN_WEEK
    club = scratch / "club"
    basics, files = write_basics(scratch), write_balls(scratch, 0, balls)
    plain = cost_of(steps.bare, files, scratch / "bare.duckdb")
    stored = cost_of(steps.load_only, club, [*basics, *files])
    yield Figure("read, screen and store / DuckDB's bare reader", balls, stored.cpu_s / plain.cpu_s, "times", 3)
    yield Figure("peak memory of reading, screening and storing", balls, stored.peak_mb, "MB")
    by_hand = cost_of(steps.pandas_and_sqlite, files, scratch / "by-hand.sqlite")
    yield Figure("the same checks in pandas with SQLite / ours", balls, by_hand.cpu_s / stored.cpu_s, "times", 5)
    full = cost_of(steps.publish, club, True)
    yield Figure("a full build, per ball line", balls, 1e6 * full.cpu_s / balls, "microseconds", 8)
    yield Figure("peak memory of a full build", balls, full.peak_mb, "MB", 2048)
    yield from of_a_week(club, balls, scratch, full)


def of_a_week(club: Path, balls: int, scratch: Path, full: Cost) -> Iterator[Figure]:
    """What it costs to load a week's lines into a club that has been published."""
    (scratch / "week").mkdir()
    week = cost_of(steps.load_and_publish, club, write_balls(scratch / "week", balls, LINES_OF_A_WEEK))
    yield Figure(f"{LINES_OF_A_WEEK:,} lines more, published", balls, week.cpu_s, "s", 5)
    yield Figure("the same / a full build", balls, week.cpu_s / full.cpu_s, "times")
    yield Figure("peak memory of that", balls, week.peak_mb, "MB")


def of_wrong_lines(balls: int, scratch: Path) -> Iterator[Figure]:
    """What a file costs in which every line is wrong."""
    files = write_balls(scratch, 0, balls, wrong_share=1)
    club = scratch / "club"
    steps.load_only(club, write_basics(scratch))
    wrong = cost_of(steps.load_only, club, files)
    yield Figure("nothing but wrong lines", balls, wrong.cpu_s, "s")
    yield Figure("peak memory of that", balls, wrong.peak_mb, "MB")


def of_the_demo_club(scratch: Path) -> Iterator[Figure]:
    """What the invented club of the demo costs."""
    club = scratch / "club"
    club.mkdir()
    shutil.copy(DEMO / "club" / "club.toml", club)
    files = [*sorted((DEMO / "club").glob("*.csv")), *sorted((DEMO / "logs").iterdir())]
    steps.load_and_publish(club, files)
    full = cost_of(steps.publish, club, True)
    yield Figure("demo club, a full build", 0, full.cpu_s, "s", 1.5)
    evening = scratch / "evening.csv"
    evening.write_text(_evening(), encoding="utf-8")
    more = cost_of(steps.load_and_publish, club, [evening])
    yield Figure(f"demo club, {LINES_OF_AN_EVENING} lines more, published", 0, more.cpu_s, "s", 0.8)


def _evening() -> str:
    header = "session_date,player,block,setup,spin,length,ball,outcome\n"
    lines = (f"2026-11-21,MATO,1,BC,backspin,short,{ball},good\n" for ball in range(1, LINES_OF_AN_EVENING + 1))
    return header + "".join(lines)


def main() -> None:
    """Measure, print and write."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--balls", type=int, action="append", help="ball lines of a club (450000)")
    parser.add_argument("--wrong", type=int, default=100_000, help="lines of the file in which all are wrong")
    parser.add_argument("--out", type=Path, default=None, help="write the figures here as JSON")
    said = parser.parse_args()
    figures: list[Figure] = []
    print("| figure | ball lines | measured | bar |\n| --- | --- | --- | --- |")
    for measure in [
        *(lambda place, balls=balls: of_size(balls, place) for balls in said.balls or [450_000]),
        lambda place: of_wrong_lines(said.wrong, place),
        of_the_demo_club,
    ]:
        with tempfile.TemporaryDirectory() as scratch:
            for figure in measure(Path(scratch)):
                print(figure.row, flush=True)
                figures.append(figure)
    if said.out:
        said.out.write_text(json.dumps([asdict(figure) for figure in figures], indent=1), encoding="utf-8")


if __name__ == "__main__":
    main()
