"""An invented club of any size: hundreds of players and setups, and ball logs in three dialects with wrong lines.

Sizes are in ball lines. What a ball is follows from its number, so that the logs of a longer history begin with those
of a shorter one.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import numpy as np
import polars as pl

from models.words import LENGTH, OUTCOME, PLACEMENT, SPIN, STROKE, WordList

PLAYERS, SETUPS, DRILLS = 300, 200, 150
BALLS_IN_BLOCK, BLOCKS_IN_SESSION, SESSIONS_IN_WEEK = 30, 5, 2
BALLS_IN_WEEK = BALLS_IN_BLOCK * BLOCKS_IN_SESSION * SESSIONS_IN_WEEK * PLAYERS
LINES_IN_FILE = 250_000
WRONG_SHARE = 0.01
FIRST_MONDAY, TODAY = date(2020, 1, 6), date(2026, 11, 28)
KINDS_IN_DRILL = 2


@dataclass(frozen=True)
class Dialect:
    """How a program writes a table."""

    separator: str
    decimal_sign: str
    day: str
    line_end: str
    quotes_texts: bool


DIALECTS = (
    Dialect(",", ".", "%Y-%m-%d", "\n", quotes_texts=False),
    Dialect(";", ",", "%d.%m.%Y", "\r\n", quotes_texts=False),
    Dialect("\t", ".", "%Y-%m-%d", "\n", quotes_texts=True),
)


def write_basics(folder: Path, players: int = PLAYERS) -> list[Path]:
    """The files of players, setups and targets."""
    numbers = np.arange(max(players, SETUPS))
    people = pl.DataFrame(
        {"player": _codes("P", players), "handedness": np.where(numbers[:players] % 5, "right", "left")}
    )
    places = {"x_cm": -20 + 15 * (numbers % 8), "y_cm": -70 + 20 * (numbers // 8 % 8)}
    setups = pl.DataFrame({"setup": _codes("S", SETUPS), **{name: value[:SETUPS] for name, value in places.items()}})
    wanted = {"depth": ("back", "middle", "near"), "side": ("forehand", "centre", "backhand")}
    wanted["spin_family"] = ("backspin", "topspin")
    targets = pl.DataFrame(
        [("t", "*", dimension, value, 1) for dimension, values in wanted.items() for value in values],
        schema=["target", "applies_to", "dimension", "value", "share"],
        orient="row",
    )
    files = [folder / f"{name}.csv" for name in ("players", "setups", "targets")]
    for file, table in zip(files, (people, setups, targets), strict=True):
        table.write_csv(file)
    return files


def write_balls(
    folder: Path, first: int, balls: int, *, wrong_share: float = WRONG_SHARE, players: int = PLAYERS
) -> list[Path]:
    """The files of so many balls from a first one on, each file in the next dialect."""
    return [
        _write(
            folder / f"balls-{start:010}.csv",
            _spoilt(lines(start, count, players), start, wrong_share),
            DIALECTS[place % len(DIALECTS)],
        )
        for place, (start, count) in enumerate(_parts(first, balls))
    ]


def _parts(first: int, balls: int) -> Iterator[tuple[int, int]]:
    for start in range(first, first + balls, LINES_IN_FILE):
        yield start, min(LINES_IN_FILE, first + balls - start)


def _write(file: Path, balls: pl.DataFrame, dialect: Dialect) -> Path:
    table = balls.with_columns(
        pl.col("session_date").dt.strftime(dialect.day),
        pl.col("tempo_bpm").cast(pl.String).str.replace(".", dialect.decimal_sign, literal=True),
    )
    table.write_csv(
        file,
        separator=dialect.separator,
        line_terminator=dialect.line_end,
        quote_style="non_numeric" if dialect.quotes_texts else "necessary",
    )
    return file


def lines(first: int, balls: int, players: int = PLAYERS) -> pl.DataFrame:
    """The lines of balls by their numbers, all of them right."""
    number = np.arange(first, first + balls)
    block_number = number // BALLS_IN_BLOCK
    session_number = block_number // BLOCKS_IN_SESSION
    player, turn = session_number % players, session_number // players
    day = 7 * (turn // SESSIONS_IN_WEEK) + 3 * (turn % SESSIONS_IN_WEEK)
    drill = _chance(block_number, DRILLS)
    kind = KINDS_IN_DRILL * drill + _chance(number + 7, KINDS_IN_DRILL)
    # Every fifth ball or so goes wrong, for some kinds of ball and some players more often.
    is_good = _chance(3 * number + 1, 100) < 50 + _chance(kind, 30) + _chance(player, 20)
    return pl.DataFrame(
        {
            "session_date": day,
            "player": _codes("P", players).gather(player),
            "block": block_number % BLOCKS_IN_SESSION + 1,
            "setup": _codes("S", SETUPS).gather(_chance(drill, SETUPS)),
            "spin": _words(SPIN, kind),
            "length": _words(LENGTH, kind + 1),
            "placement": _words(PLACEMENT, kind + 2),
            "tempo_bpm": 30.5 + 10 * _chance(drill + 3, 4),
            "stroke": _words(STROKE, drill + 4),
            "ball": number % BALLS_IN_BLOCK + 1,
            "outcome": pl.Series(OUTCOME.names).gather(np.where(is_good, 0, 1 + _chance(number + 5, 4))),
        }
    ).with_columns(session_date=pl.lit(FIRST_MONDAY) + pl.duration(days="session_date"))


def _spoilt(table: pl.DataFrame, first: int, share: float) -> pl.DataFrame:
    """Some lines wrong, each in one of four ways."""
    roll = pl.Series(_chance(np.arange(first, first + table.height) + 11, 1_000_000))
    is_wrong, way = roll < share * 1_000_000, roll % 4
    return table.with_columns(
        pl.when(is_wrong & (way == 0)).then(pl.lit("topsin")).otherwise("spin").alias("spin"),
        pl.when(is_wrong & (way == 1)).then(pl.lit("P999")).otherwise("player").alias("player"),
        pl.when(is_wrong & (way == 2)).then(pl.lit("")).otherwise("outcome").alias("outcome"),
        pl.when(is_wrong & (way == 3)).then(pl.lit(0)).otherwise("ball").alias("ball"),
    )


def _codes(letter: str, count: int) -> pl.Series:
    return pl.Series([f"{letter}{number:03}" for number in range(count)])


def _words(words: WordList, number: np.ndarray) -> pl.Series:
    return pl.Series(words.names).gather(_chance(number, len(words.names)))


def _chance(number: np.ndarray, sides: int) -> np.ndarray:
    """The throw of a die that falls for a number as it always falls: the mixer of SplitMix64 (Steele et al. 2014)."""
    mixed = number.astype(np.uint64) * np.uint64(0x9E3779B97F4A7C15) + np.uint64(0x9E3779B97F4A7C15)
    for shift, factor in ((30, 0xBF58476D1CE4E5B9), (27, 0x94D049BB133111EB)):
        mixed = (mixed ^ (mixed >> np.uint64(shift))) * np.uint64(factor)
    return ((mixed ^ (mixed >> np.uint64(31))) % np.uint64(sides)).astype(np.int64)
