"""An invented club whose figures are known beforehand, as the CSV files that a club would load.

Every player trains for one thing only. Eighteen kinds of ball are wanted: three depths, three families of spin, two
tempos. All balls that a window should hold fall into the last of twelve weeks.
"""

import csv
from collections.abc import Iterable
from datetime import date, timedelta
from itertools import cycle, islice, product
from pathlib import Path
from random import Random
from typing import Any

Line = dict[str, Any]

FIRST_DAY, LAST_DAY = date(2026, 3, 3), date(2026, 5, 19)
LAST_WEEK = "2026-05-18"

SETTINGS = """
club_id = "known"
is_invented = true
rate_balls = 20
covered_balls = 10
likeness_decay = 2.0
entropy_balls = 1
assumed_likeness = 0.0
likeness_comparisons = 10000
"""

PLAYERS = {
    "P1": "Eve Nordal",
    "P2": "Uno Solberg",
    "P3": "Dia Gonzal",
    "P6": "Blok Haller",
    "P7": "Sera Kring",
    "P8": "Rand Mixer",
    "P9": "Stig Riser",
    "P11": "Tuva Harder",
    "P12": "Tove Easier",
    "P15": "Falk Omsk",
    "P16": "Nia Fresh",
    "P17": "Gap Pauser",
}

SETUPS = {"B": -20, "M": 60, "N": 120}
SPINS = ("backspin", "no_spin", "topspin")
KINDS = [{"setup": s, "spin": spin, "tempo_bpm": bpm} for s, spin, bpm in product(SETUPS, SPINS, (20, 80))]
DIAGONAL = [kind for kind in KINDS if list(SETUPS).index(kind["setup"]) == SPINS.index(kind["spin"])]

RISER = (22, 24, 23, 25, 26, 25, 27, 28, 27, 29, 30, 29)
"""Good balls of forty in twelve sessions, a week apart: smoother than chance allows."""

STONES = {"P11": ((87, 81), (263, 192)), "P12": ((270, 234), (80, 55))}
"""Charig et al. (1986), BMJ 292:879 (from memory): small stones then large ones, operations and successes of open
surgery and of the new method; here easy and hard balls, and good ones."""


def write(folder: Path) -> list[Path]:
    """All files, in the order in which they are loaded."""
    stones = [{"value": "back", "share": 357}, {"value": "near", "share": 343}]
    return [
        _csv(
            folder / "players.csv",
            [{"player": code, "name": name, "handedness": "right"} for code, name in PLAYERS.items()],
        ),
        _csv(folder / "setups.csv", [{"setup": code, "x_cm": x, "y_cm": 0} for code, x in SETUPS.items()]),
        _csv(
            folder / "targets.csv",
            [
                *_target("all", "*", depth=("back", "middle", "near"), spin_family=SPINS, tempo_band=("slow", "fast")),
                *(
                    {"target": "stones", "applies_to": who, "dimension": "depth"} | own
                    for who in STONES
                    for own in stones
                ),
            ],
        ),
        _csv(folder / "counted.csv", [_fed(line) for line in _counted()]),
        _csv(folder / "one-by-one.csv", [_fed(line) for line in one_by_one()]),
    ]


def write_rats(folder: Path, tumours: list[int], rats: list[int]) -> list[Path]:
    """A club of experiments: each a player who was fed a ball for each rat, good where it had a tumour, on one day."""
    codes = [f"P{number}" for number in range(1, len(rats) + 1)]
    lines = [_fed({"player": c, "balls": n, "good": k}) for c, n, k in zip(codes, rats, tumours, strict=True)]
    return [
        _csv(folder / "players.csv", [{"player": code, "handedness": "right"} for code in codes]),
        _csv(folder / "setups.csv", [{"setup": "B", "x_cm": -20, "y_cm": 0}]),
        _csv(folder / "counted.csv", lines),
    ]


def _target(name: str, applies_to: str, **dimensions: tuple[str, ...]) -> Iterable[Line]:
    for dimension, words in dimensions.items():
        for word in words:
            yield {"target": name, "applies_to": applies_to, "dimension": dimension, "value": word, "share": 1}


def _counted() -> Iterable[Line]:
    for code, kinds, balls in (("P1", KINDS, 20), ("P2", KINDS[:1], 360), ("P3", DIAGONAL, 60)):
        yield from ({"player": code, "feed": at, "balls": balls, "good": 0, **kind} for at, kind in enumerate(kinds, 1))
    for week, good in enumerate(RISER):
        day = FIRST_DAY + timedelta(weeks=week)
        yield {"player": "P9", "session_date": day, "balls": 40, "good": good}
        if week not in (4, 5, 6):
            yield {"player": "P17", "session_date": day, "balls": 60, "good": 40, "minutes": 60, "effort": 7}
    for code, ((easy, easy_good), (hard, hard_good)) in STONES.items():
        yield {"player": code, "setup": "B", "block": 1, "balls": easy, "good": easy_good}
        yield {"player": code, "setup": "N", "block": 2, "balls": hard, "good": hard_good}
    yield {"player": "P16", "balls": 4, "good": 3}


def one_by_one() -> Iterable[Line]:
    blocked = [kind for kind in KINDS for _ in range(20)]
    orders = {"P6": blocked, "P7": list(islice(cycle(KINDS), 360)), "P8": Random(1).sample(blocked, k=360)}
    for code, kinds in orders.items():
        for ball, kind in enumerate(kinds, start=1):
            yield {"player": code, "ball": ball, "outcome": "good", **kind}
    for week in range(12):
        yield from _falls_on_changes(week)


def _falls_on_changes(week: int) -> Iterable[Line]:
    """One block a week: runs of six balls, of two kinds in turn. Of the five first balls of each kind three are good,
    of repeats 4 of 5. The first ball of the block has none before it.
    """
    for ball in range(66):
        run, place = divmod(ball, 6)
        is_good = place < 5 if place else 0 < run <= 6
        yield {
            "player": "P15",
            "session_date": FIRST_DAY + timedelta(weeks=week),
            "ball": ball + 1,
            **KINDS[run % 2],
            "outcome": "good" if is_good else "net",
        }


def _fed(line: Line) -> Line:
    """A line of the last day, with a ball of one kind where it names no other."""
    return {"session_date": LAST_DAY, "block": 1, "feed": 1, "length": "long", **KINDS[0], **line}


def _csv(file: Path, lines: Iterable[Line]) -> Path:
    rows = list(lines)
    with file.open("w", newline="", encoding="utf-8") as stream:
        writer = csv.DictWriter(stream, list(dict.fromkeys(name for row in rows for name in row)))
        writer.writeheader()
        writer.writerows(rows)
    return file
