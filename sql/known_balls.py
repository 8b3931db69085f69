"""What a club's log tells of its balls: how hard each kind is, and what is expected of each player on it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

import numpy as np
import numpy.typing as npt
import polars as pl

from models.belief import Belief
from models.difficulty import ClubDifficulty, FedBalls, club_difficulty
from models.groups import IntArray
from models.words import COVERAGE_DIMENSIONS, DIMENSION

MOST_KINDS = 1000
"""So many conditions, those with the most balls, are kinds of their own: the work grows with the cube of them."""

SHORT_FORM = ("depth", "side", "spin_family", "length", "tempo_band")
"""The words by which all other conditions are told: each such combination is one kind."""


@dataclass(frozen=True)
class KnownBalls:
    """The difficulty of a club's balls, and the numbers that it knows players and conditions by.

    A player's is the place in `players`; `kinds` has that of each condition's kind.
    """

    difficulty: ClubDifficulty
    players: tuple[str, ...]
    kinds: Mapping[str, int]

    def by_others(self, player_id: str) -> Belief:
        """What the balls of all others say of the kinds that this player met."""
        return self.difficulty.by_others(self.players.index(player_id))

    def by_all(self) -> list[Belief]:
        """The same with what each player's own kinds differ by within one day; one for each player."""
        return [self.difficulty.by_all(place) for place in range(len(self.players))]

    def player_numbers(self, rows: pl.DataFrame) -> IntArray:
        """The number of each row's player."""
        return _numbers(rows["player_id"], _placed(self.players))

    def kind_numbers(self, rows: pl.DataFrame) -> IntArray:
        """The number of each row's condition."""
        return _numbers(rows["condition"], self.kinds)


def known_balls(block_conditions: pl.DataFrame, conditions: pl.DataFrame, judged_weeks: int) -> KnownBalls:
    """Fit the difficulty to a club's rows of core.block_conditions and core.conditions, each in the order of its grain.

    Over so many weeks, counted back from the last, a player's progress is taken for a straight line.
    """
    players = tuple(block_conditions["player_id"].unique().sort())
    kinds, words = _kinds(block_conditions, conditions)
    age = (pl.col("week").max() - pl.col("week")).dt.total_days() // (7 * judged_weeks)
    log = FedBalls(
        _numbers(block_conditions["player_id"], _placed(players)),
        block_conditions.select(age)["week"].to_numpy(),
        block_conditions["session_id"].rank("dense").to_numpy().astype(np.int64),
        _numbers(block_conditions["condition"], kinds),
        days(block_conditions),
        *(block_conditions[name].to_numpy().astype(np.float64) for name in ("good", "balls")),
    )
    return KnownBalls(club_difficulty(log, words), players, kinds)


def days(rows: pl.DataFrame) -> npt.NDArray[np.float64]:
    """The day of each row's session, counted from a Monday."""
    return (rows["session_date"] - date(2000, 1, 3)).dt.total_days().to_numpy().astype(np.float64)


def _placed(names: Iterable[str]) -> dict[str, int]:
    return {name: at for at, name in enumerate(names)}


def _numbers(values: pl.Series, numbers: Mapping[str, int]) -> IntArray:
    return np.array([numbers[value] for value in values.to_list()], dtype=np.int64)


def _kinds(block_conditions: pl.DataFrame, conditions: pl.DataFrame) -> tuple[dict[str, int], IntArray]:
    """The number of each condition's kind, and the words of each kind; see `MOST_KINDS`."""
    balls = block_conditions.group_by("condition").agg(pl.col("balls").sum())
    fed = conditions.join(balls, on="condition", how="left").sort("balls", "condition", descending=[True, False])
    most_fed = set(fed["condition"].head(MOST_KINDS).to_list())
    worded = conditions.with_columns(
        pl.when(pl.col("condition").is_in(most_fed) | pl.lit(name in SHORT_FORM)).then(pl.col(name)).alias(name)
        for name in DIMENSION.names
    )
    short = pl.concat_str([pl.col(name).fill_null("") for name in SHORT_FORM], separator="|")
    called = worded.with_columns(
        kind=pl.when(pl.col("condition").is_in(most_fed)).then(pl.col("condition")).otherwise(pl.lit("|") + short)
    )
    kinds = called.unique("kind", keep="first", maintain_order=True)
    numbers = _placed(kinds["kind"])
    return dict(zip(called["condition"], (numbers[kind] for kind in called["kind"]), strict=True)), _words(kinds)


def _words(conditions: pl.DataFrame) -> IntArray:
    """The words of each condition as numbers, equal where they are; a word that was not noted is one of them."""
    columns = [conditions[words.name].rank("dense").fill_null(0).to_numpy() for words in COVERAGE_DIMENSIONS]
    return np.stack(columns, axis=1).astype(np.int64)
