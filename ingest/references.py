"""Lines held to what the log knows: players, feeders, setups and their days, targets; and to each other in one file."""

from collections.abc import Iterable, Iterator, Mapping
from math import prod

import polars as pl

from ingest.problems import Refusal, use_one_of
from models.feeding_records import Landing, Setup
from models.log_line import LogLine
from models.nearest import fitting
from models.records import TargetShare
from sql.dials import Dial
from sql.log_book import Known

LARGEST_GRID = 400
"""Combinations that one target may have: more than a player could meet in a season, and the reports stay small."""


def reference_faults(file_name: str, record: type[LogLine], typed: pl.DataFrame, known: Known) -> list[Refusal]:
    """The refusals of lines that name what the log does not know, or that say the same line twice."""
    faults: list[Refusal] = []
    if "session_date" in typed.columns:
        faults += _unknown_players(file_name, typed, known)
        faults += _unknown_setups(file_name, typed, known, "session_date")
        faults += _future_days(file_name, typed, known, "session_date")
    if record is Setup or record is Landing:
        faults += _unknown_feeders(file_name, typed, known)
    if record is Landing:
        faults += _unknown_setups(file_name, typed, known, "noted_on")
        faults += _future_days(file_name, typed, known, "noted_on")
        faults += _off_the_dial(file_name, typed, known, "speed")
        faults += _off_the_dial(file_name, typed, known, "spin")
    if record is TargetShare:
        faults += _unknown_receivers(file_name, typed, known)
        faults += _second_targets(file_name, typed, known)
        faults += _too_large_grids(file_name, typed)
    return [*faults, *_repeated_lines(file_name, record, typed)]


def _unknown_players(file_name: str, typed: pl.DataFrame, known: Known) -> Iterator[Refusal]:
    unknown = typed.filter(~pl.col("player").is_in(list(known.players)))
    meant = _Meant(typed["player"], known.players, known.waiting.get("players", {}), "load the players first")
    for line, player in unknown.select("line", "player").iter_rows():
        yield meant.refusal(file_name, line, "player", player, "the code of a player who is loaded")


def _unknown_setups(file_name: str, typed: pl.DataFrame, known: Known, day: str) -> Iterator[Refusal]:
    first_days = pl.DataFrame(
        {"setup": list(known.setups), "first_day": list(known.setups.values())},
        schema={"setup": pl.String, "first_day": pl.Date},
    )
    dated = typed.join(first_days, on="setup", how="left", maintain_order="left")
    unfit = dated.filter(pl.col("first_day").is_null() | (pl.col(day) < pl.col("first_day")))
    meant = _Meant(typed["setup"], known.setups, known.waiting.get("setups", {}), "load the setups first")
    for line, setup, first_day in unfit.select("line", "setup", "first_day").iter_rows():
        if first_day is None:
            yield meant.refusal(file_name, line, "setup", setup, "the code of a setup that is loaded")
        else:
            to_do = "correct the day, or load the setup with an earlier valid_from"
            yield Refusal(file_name, line, "setup", setup, f"{first_day} or later for this setup", to_do)


class _Meant:
    """What may be meant by codes that the log does not know.

    `waiting` are the codes of lines that were refused themselves, each with where it stands: what names such a code
    follows from that refusal, and is told as one with it.
    """

    def __init__(self, named: pl.Series, known: Iterable[str], waiting: Mapping[str, str], otherwise: str) -> None:
        self._known = tuple(sorted(known))
        self._named = frozenset(named.unique()).intersection(self._known)
        self._waiting = waiting
        self._otherwise = otherwise

    def refusal(self, file_name: str, line: int, column: str, seen: str, expected: str) -> Refusal:
        """The refusal of one line that names such a code."""
        found = fitting(seen, self._known, self._named)
        if follows := self._waiting.get(seen):
            to_do = f"mend {follows} first, where {seen} was refused; then bring this line in again"
            return Refusal(file_name, line, column, seen, expected, to_do, found, follows)
        to_do = f"{self._use(found)}; otherwise {self._otherwise}" if found else self._otherwise
        return Refusal(file_name, line, column, seen, expected, to_do, found)

    @staticmethod
    def _use(found: tuple[str, ...]) -> str:
        return f"use {found[0]} if that is meant" if len(found) == 1 else use_one_of(found)


def _future_days(file_name: str, typed: pl.DataFrame, known: Known, day: str) -> Iterator[Refusal]:
    future = typed.filter(pl.col(day) > known.today)
    for line, seen in future.select("line", day).iter_rows():
        yield Refusal(file_name, line, day, str(seen), f"a day up to today, {known.today}", "correct the day")


def _unknown_feeders(file_name: str, typed: pl.DataFrame, known: Known) -> Iterator[Refusal]:
    unknown = typed.filter(~pl.col("feeder").is_in(list(known.feeders)))
    named = typed["feeder"].drop_nulls()
    meant = _Meant(named, known.feeders, known.waiting.get("feeders", {}), "load the feeders first")
    for line, feeder in unknown.select("line", "feeder").iter_rows():
        yield meant.refusal(file_name, line, "feeder", feeder, "the code of a feeder that is loaded")


def _off_the_dial(file_name: str, typed: pl.DataFrame, known: Known, dial: Dial) -> Iterator[Refusal]:
    """The refusals of settings that the feeder's dial does not have; a dial without a range has none at all."""
    column = f"{dial}_setting"
    named = typed.filter(pl.col(column).is_not_null() & pl.col("feeder").is_in(list(known.feeders)))
    for line, feeder, setting in named.select("line", "feeder", column).iter_rows():
        lowest, highest = known.feeders[feeder].range_of(dial)
        if lowest is None or highest is None:
            to_do = "leave it empty, or load the feeder with the marks of that dial"
            yield Refusal(file_name, line, column, f"{setting:g}", f"no setting: {feeder} has no {dial} dial", to_do)
        elif not lowest <= setting <= highest:
            expected = f"a setting from {lowest:g} to {highest:g}, the {dial} dial of {feeder}"
            yield Refusal(file_name, line, column, f"{setting:g}", expected, "correct the setting")


def _unknown_receivers(file_name: str, typed: pl.DataFrame, known: Known) -> Iterator[Refusal]:
    receivers = known.players | known.groups | {"*"}
    unknown = typed.filter(~pl.col("applies_to").is_in(list(receivers)))
    meant = _Meant(typed["applies_to"], receivers, known.waiting.get("players", {}), "load the players first")
    for line, receiver in unknown.select("line", "applies_to").iter_rows():
        expected = "a player's code, a group of the players, or *"
        yield meant.refusal(file_name, line, "applies_to", receiver, expected)


def _second_targets(file_name: str, typed: pl.DataFrame, known: Known) -> Iterator[Refusal]:
    first = dict(typed.group_by("applies_to", maintain_order=True).agg(pl.col("target").first()).iter_rows())
    for line, target, receiver in typed.select("line", "target", "applies_to").iter_rows():
        in_force = known.targets.get(receiver, first[receiver])
        if target != in_force:
            expected = f"the target '{in_force}', which {receiver} has"
            to_do = f"call it '{in_force}', or withdraw that target's batch first"
            yield Refusal(file_name, line, "target", target, expected, to_do, (str(in_force),))


def _too_large_grids(file_name: str, typed: pl.DataFrame) -> Iterator[Refusal]:
    wanted = typed.filter(pl.col("share") > 0)
    for (target, receiver), lines in wanted.group_by("target", "applies_to", maintain_order=True):
        cells = prod(lines.group_by("dimension").agg(pl.col("value").n_unique())["value"])
        if cells > LARGEST_GRID:
            expected = f"a grid of at most {LARGEST_GRID} combinations"
            seen = f"{target} for {receiver}: {cells} combinations"
            to_do = "name fewer dimensions or fewer values; what is not named may be anything"
            yield from (Refusal(file_name, line, "target", seen, expected, to_do) for line in lines["line"])


def _repeated_lines(file_name: str, record: type[LogLine], typed: pl.DataFrame) -> Iterator[Refusal]:
    """The first of equal lines is kept; of lines that contradict each other none is: nobody knows which is right."""
    # Equal lines have equal hashes: few others need a look, and to group them all costs as much as to read the file.
    alike = typed.filter(pl.struct(record.identity).hash().is_duplicated())
    values = pl.struct(column for column in typed.columns if column not in ("line", "mends"))
    grouped = alike.with_columns(
        values.n_unique().over(record.identity).alias("versions"),
        pl.col("line").min().over(record.identity).alias("first"),
    )
    repeated = grouped.filter((pl.col("versions") > 1) | (pl.col("line") > pl.col("first")))
    for line, first, versions, *key in repeated.select("line", "first", "versions", *record.identity).iter_rows():
        seen = ", ".join(f"{name} {value}" for name, value in zip(record.identity, key, strict=True))
        yield _repeated(file_name, line, first, seen, is_contradiction=versions > 1)


def _repeated(file_name: str, line: int, first: int, seen: str, *, is_contradiction: bool) -> Refusal:
    if is_contradiction:
        to_do = "these lines differ: number their blocks and feeds, or keep the right line only"
    else:
        to_do = f"nothing, if it is one and the same as line {first}; otherwise give it another block or feed number"
    return Refusal(file_name, line, None, seen, "one line of a file for each of these", to_do)
