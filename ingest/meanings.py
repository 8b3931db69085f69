"""What a source means by columns and words that the log does not know, as somebody said it once.

A source is one hand with one spreadsheet: files of the same columns, called alike but for numbers. What was said of one
source is never taken for another, and never in the place of what the log knows itself.
"""

import json
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import PurePath

import polars as pl

from ingest.kinds import columns_known, squeezed
from ingest.problems import shortened
from models.records import RECORDS, columns_of
from models.shapes import OneOf
from models.words import tidy_word
from sql.log_book import Known

CODED = ("player", "setup", "feeder")
"""The columns that hold codes of the club."""
_OURS = (" corrected", "-refused")
"""What we put behind the name of a file whose lines were refused."""


@dataclass(frozen=True)
class Meanings:
    """By column as it is headed, squeezed, the column of the log; by column of the log and text, the value."""

    columns: Mapping[str, str] = field(default_factory=dict)
    values: Mapping[tuple[str, str], str] = field(default_factory=dict)

    def over(self, earlier: "Meanings") -> "Meanings":
        """These, and the earlier ones where these say nothing."""
        return Meanings({**earlier.columns, **self.columns}, {**earlier.values, **self.values})


NOTHING_SAID = Meanings()

Remembered = Callable[[str], Meanings]
"""Gives what was said of a source."""


def nothing_remembered(_source: str) -> Meanings:
    """Nobody has said anything."""
    return NOTHING_SAID


def source_of(file_name: str, header: Sequence[str]) -> str:
    """The source of a file, as it is remembered: the letters of its name, and its columns."""
    return json.dumps([letters_of(file_name), [squeezed(name) for name in header]], ensure_ascii=False)


def letters_of(file_name: str) -> str:
    """What is the same in the names of one hand's files: `Juniors KW12 (2).xlsx` and `juniors kw13.xlsx`."""
    stem = PurePath(file_name).stem
    for ours in _OURS:
        stem = stem.partition(ours)[0]
    return " ".join("".join(sign if sign.isalpha() else " " for sign in stem.lower()).split())


def header_as_meant(header: Sequence[str], meanings: Meanings) -> tuple[str, ...]:
    """The header in the log's own names; a column that the log knows, or that is there already, stays what it is."""
    taken = {squeezed(name) for name in header}
    named = list(header)
    for place, name in enumerate(header):
        meant = meanings.columns.get(squeezed(name))
        if meant and squeezed(meant) not in taken and not columns_known(name):
            named[place] = meant
            taken.add(squeezed(meant))
    return tuple(named)


def may_be_meant(kind: str, column: str, value: str) -> bool:
    """Whether a meaning of this value can be remembered at all: words of the trade, and codes of the club."""
    shapes = {one.name: one.shape for one in columns_of(RECORDS[kind])}
    shape = shapes.get(column)
    return column in CODED or (isinstance(shape, OneOf) and tidy_word(value) in shape.words.names)


def lines_as_meant(lines: pl.DataFrame, kind: str, meanings: Meanings, known: Known) -> tuple[pl.DataFrame, list[str]]:
    """The lines with the values that are meant, and sentences that tell of it. What is right as typed stays."""
    told: list[str] = []
    for (column, typed), value in meanings.values.items():
        if column in lines.columns and not _is_right(kind, column, typed, known):
            is_meant = pl.col(column) == typed
            if number := lines.select(is_meant.sum()).item():
                as_meant = pl.when(is_meant).then(pl.lit(value)).otherwise(pl.col(column))
                lines = lines.with_columns(as_meant.alias(column))
                told.append(f"{column}: “{shortened(typed)}” is {value} (in {number:,}), as was said of such files.")
    return lines, told


def _is_right(kind: str, column: str, typed: str, known: Known) -> bool:
    """The log knows the text as it is: what was said once does not stand above that."""
    codes: dict[str, Collection[str]] = {
        "player": known.players,
        "setup": known.setups.keys(),
        "feeder": known.feeders.keys(),
    }
    if column in codes:
        return typed in codes[column]
    shape = next((one.shape for one in columns_of(RECORDS[kind]) if one.name == column), None)
    return not isinstance(shape, OneOf) or tidy_word(typed) in shape.words.names
