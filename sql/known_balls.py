"""What a club's log tells of its balls: how hard each kind is, and what is expected of each player on it."""

from dataclasses import dataclass
from datetime import date

import numpy as np
import numpy.typing as npt
import polars as pl

from models.belief import Belief
from models.difficulty import ClubDifficulty, FedBalls, club_difficulty
from models.groups import IntArray
from models.words import COVERAGE_DIMENSIONS


@dataclass(frozen=True)
class KnownBalls:
    """The difficulty of a club's balls, and the numbers that it knows players and conditions by: their places here."""

    difficulty: ClubDifficulty
    players: tuple[str, ...]
    conditions: tuple[str, ...]

    def by_others(self, player_id: str) -> Belief:
        """What the balls of all others say of the kinds that this player met."""
        return self.difficulty.by_others(self.players.index(player_id))

    def by_all(self) -> list[Belief]:
        """The same with what each player's own kinds differ by within one day; one for each player."""
        return [self.difficulty.by_all(place) for place in range(len(self.players))]

    def player_numbers(self, rows: pl.DataFrame) -> IntArray:
        """The number of each row's player."""
        return _places(rows["player_id"], self.players)

    def kind_numbers(self, rows: pl.DataFrame) -> IntArray:
        """The number of each row's condition."""
        return _places(rows["condition"], self.conditions)


def known_balls(block_conditions: pl.DataFrame, conditions: pl.DataFrame, judged_weeks: int) -> KnownBalls:
    """Fit the difficulty to a club's rows of core.block_conditions and core.conditions, each in the order of its grain.

    Over so many weeks, counted back from the last, a player's progress is taken for a straight line.
    """
    players = tuple(block_conditions["player_id"].unique().sort())
    names = tuple(conditions["condition"])
    age = (pl.col("week").max() - pl.col("week")).dt.total_days() // (7 * judged_weeks)
    log = FedBalls(
        _places(block_conditions["player_id"], players),
        block_conditions.select(age)["week"].to_numpy(),
        block_conditions["session_id"].rank("dense").to_numpy().astype(np.int64),
        _places(block_conditions["condition"], names),
        days(block_conditions),
        *(block_conditions[name].to_numpy().astype(np.float64) for name in ("good", "balls")),
    )
    return KnownBalls(club_difficulty(log, _words(conditions)), players, names)


def days(rows: pl.DataFrame) -> npt.NDArray[np.float64]:
    """The day of each row's session, counted from a Monday."""
    return (rows["session_date"] - date(2000, 1, 3)).dt.total_days().to_numpy().astype(np.float64)


def _places(values: pl.Series, names: tuple[str, ...]) -> IntArray:
    place = {name: at for at, name in enumerate(names)}
    return np.array([place[value] for value in values.to_list()], dtype=np.int64)


def _words(conditions: pl.DataFrame) -> IntArray:
    """The words of each condition as numbers, equal where they are; a word that was not noted is one of them."""
    columns = [conditions[words.name].rank("dense").fill_null(0).to_numpy() for words in COVERAGE_DIMENSIONS]
    return np.stack(columns, axis=1).astype(np.int64)
