"""Every line accepted or refused, set-wise, by rules compiled out of the records.

A line is first held to the shapes of its columns, then to the rules between its columns, then to what the log knows.
The same records check a single form; a property test holds both to the same verdict.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import singledispatch
from typing import Any

import polars as pl

from ingest.kinds import LEFT_OUT
from ingest.meanings import lines_as_meant
from ingest.mend_file import left_out
from ingest.problems import Refusal, shortened, use_one_of
from ingest.reading import Reading
from ingest.references import reference_faults
from models.log_line import LineRule, LogLine
from models.nearest import fitting
from models.records import EMPTY_IDENTITY, RECORDS, Column, columns_of
from models.shapes import NO, YES, Day, Number, OneOf, Text, WholeNumber, YesOrNo
from models.words import tidy_word
from sql.log_book import Known


@dataclass(frozen=True)
class Screened:
    """The verdict on a file: accepted lines, typed; and every fault of every refused line."""

    reading: Reading
    accepted: pl.DataFrame
    refusals: tuple[Refusal, ...]

    @property
    def lines_refused(self) -> int:
        """Refused lines; a line with several faults counts once."""
        return len(self.refused)

    @property
    def refused(self) -> frozenset[int]:
        """The numbers of the refused lines."""
        return frozenset(refusal.line or 0 for refusal in self.refusals)

    @property
    def lines_read(self) -> int:
        """Lines read, fully empty ones apart."""
        return self.reading.lines.height + len({refusal.line for refusal in self.reading.malformed})


@dataclass(frozen=True)
class Compiled:
    """A shape as column expressions over the plain text: is it right, and what value is it."""

    is_right: pl.Expr
    value: pl.Expr


def screen(reading: Reading, known: Known) -> Screened:
    """Screen every line of a file against its record and what the log knows."""
    final = left_out(reading.header, reading.cells)
    whole = reading = _as_meant(reading, known)
    reading = _without_final(reading, final)
    record = RECORDS[reading.taken.kind]
    columns = columns_of(record)
    read = {column.name: _read(reading.lines[column.name], column) for column in columns}
    faults = [fault for column in columns for fault in _cell_faults(reading, column, read[column.name].is_wrong)]
    typed = _without(_typed(reading.lines, read), faults)
    faults += _rule_faults(reading, record, typed)
    typed = _without(typed, faults)
    faults += reference_faults(reading.taken.file_name, record, typed, known)
    accepted = _without(typed, faults)
    refused_for_good = (_final_refusal(reading.taken.file_name, line, why) for line, why in final.items())
    refusals = sorted([*refused_for_good, *reading.malformed, *faults], key=lambda r: (r.line or 0, r.column or ""))
    return Screened(whole, accepted, tuple(refusals))


def _as_meant(reading: Reading, known: Known) -> Reading:
    lines, told = lines_as_meant(reading.lines, reading.taken.kind, reading.meanings, known)
    return replace(reading, lines=lines, taken=replace(reading.taken, values_meant=tuple(told))) if told else reading


def _without_final(reading: Reading, final: Mapping[int, str]) -> Reading:
    """The reading without the lines that are left out for good: whatever is wrong with them is nobody's to mend."""
    if not final:
        return reading
    malformed = tuple(refusal for refusal in reading.malformed if refusal.line not in final)
    return replace(reading, lines=reading.lines.filter(~pl.col("line").is_in(list(final))), malformed=malformed)


def _final_refusal(file_name: str, line: int, why: str) -> Refusal:
    to_do = "nothing; withdraw this batch if the line is to wait again"
    return Refusal(file_name, line, LEFT_OUT, shortened(why), "no line of a log here", to_do, is_final=True)


@dataclass(frozen=True)
class _Read:
    """A column as its shape reads it: where it is wrong, and what value it has elsewhere."""

    is_wrong: pl.Series
    values: pl.Series


def _read(texts: pl.Series, column: Column) -> _Read:
    """Every different text is read once: a log of many lines has few of them."""
    different = texts.drop_nulls().unique(maintain_order=True)
    shape = compile_shape(column.shape, column.name)
    is_wrong, value = ~shape.is_right.fill_null(value=False), shape.value.alias("value")
    checked = different.to_frame(column.name).select(is_wrong.alias("is_wrong"), value)
    places = texts.cast(pl.Enum(different)).to_physical()
    return _Read(
        checked["is_wrong"].gather(places).fill_null(value=column.is_required),
        checked["value"].gather(places).alias(column.name),
    )


def _without(lines: pl.DataFrame, faults: list[Refusal]) -> pl.DataFrame:
    return lines.filter(~pl.col("line").is_in({fault.line for fault in faults})) if faults else lines


def _cell_faults(reading: Reading, column: Column, is_wrong: pl.Series) -> Iterator[Refusal]:
    """One refusal for each cell that is not of its column's shape, or is empty where it must not be."""
    named = _words_named(reading.lines[column.name].filter(~is_wrong), column) if is_wrong.any() else frozenset()
    for line, seen in reading.lines.select("line", column.name).filter(is_wrong).iter_rows():
        yield _cell_refusal(reading.taken.file_name, line, column, seen, named)


def _words_named(right: pl.Series, column: Column) -> frozenset[str]:
    """The words of the column that the file names where it is right."""
    return frozenset(map(tidy_word, right.drop_nulls().unique())) if isinstance(column.shape, OneOf) else frozenset()


def _cell_refusal(file_name: str, line: int, column: Column, seen: str | None, named: frozenset[str]) -> Refusal:
    if seen is None:
        return Refusal(file_name, line, column.name, "", _lacking(column), "fill the cell in")
    if not isinstance(column.shape, OneOf):
        return Refusal(file_name, line, column.name, shortened(seen), column.shape.expected, "correct the cell")
    found = fitting(seen, column.shape.words.names, named)
    to_do = use_one_of(found) if found else "use one of these words"
    return Refusal(file_name, line, column.name, shortened(seen), column.shape.expected, to_do, found)


def _lacking(column: Column) -> str:
    """What an empty cell should hold; that a text may have so many characters would not say it."""
    if isinstance(column.shape, Text):
        return f"{column.help}, such as {column.example}"
    return f"{column.help}: {column.shape.expected}"


def _typed(lines: pl.DataFrame, read: Mapping[str, _Read]) -> pl.DataFrame:
    typed = pl.DataFrame([lines["line"], lines["mends"], *(column.values for column in read.values())])
    return typed.with_columns(
        pl.col(name).fill_null(pl.lit(value)) for name, value in EMPTY_IDENTITY.items() if name in typed.columns
    )


def _rule_faults(reading: Reading, record: type[LogLine], typed: pl.DataFrame) -> Iterator[Refusal]:
    for rule in record.rules:
        broken = typed.filter(_is_broken(rule))
        for line, *seen in broken.select("line", *rule.columns).iter_rows():
            shown = ", ".join(f"{c} {v}" for c, v in zip(rule.columns, seen, strict=True) if v is not None)
            yield Refusal(reading.taken.file_name, line, rule.column, shown, rule.expected, rule.to_do)


def _is_broken(rule: LineRule) -> pl.Expr:
    if rule.empty_counts_as is None:
        asked = pl.all_horizontal(pl.col(c).is_not_null() for c in rule.columns)
        values = {c: pl.col(c) for c in rule.columns}
    else:
        asked = pl.any_horizontal(pl.col(c).is_not_null() for c in rule.asked_when)
        values = {c: pl.col(c).fill_null(rule.empty_counts_as) for c in rule.columns}
    holds: pl.Expr = rule.holds(**values)
    return asked & ~holds


@singledispatch
def compile_shape(shape: Any, name: str) -> Compiled:
    """The expressions for a shape over the plain text of the column `name`."""
    raise TypeError(f"no set-wise rule for {type(shape).__name__}, the shape of column {name}")


@compile_shape.register
def _(shape: WholeNumber, name: str) -> Compiled:
    number = pl.col(name).str.strip_prefix("+").cast(pl.Float64, strict=False)
    is_right = pl.col(name).str.contains(shape.pattern) & number.is_between(shape.minimum, shape.maximum)
    return Compiled(is_right, number.cast(pl.Int64, strict=False))


@compile_shape.register
def _(shape: Number, name: str) -> Compiled:
    number = pl.col(name).str.strip_prefix("+").cast(pl.Float64, strict=False)
    is_right = pl.col(name).str.contains(shape.pattern) & number.is_between(shape.minimum, shape.maximum)
    return Compiled(is_right, number)


@compile_shape.register
def _(shape: Day, name: str) -> Compiled:
    day = pl.col(name).str.to_date("%Y-%m-%d", strict=False)
    is_right = pl.col(name).str.contains(shape.pattern) & day.is_between(shape.earliest, shape.latest)
    return Compiled(is_right, day)


@compile_shape.register
def _(shape: OneOf, name: str) -> Compiled:
    word = pl.col(name).str.to_lowercase().str.replace_all("[ -]", "_")
    return Compiled(word.is_in(list(shape.words.names)), word)


@compile_shape.register
def _(_: YesOrNo, name: str) -> Compiled:
    word = pl.col(name).str.to_lowercase()
    return Compiled(word.is_in([*YES, *NO]), word.is_in(list(YES)))


@compile_shape.register
def _(shape: Text, name: str) -> Compiled:
    return Compiled(pl.col(name).str.contains(shape.pattern), pl.col(name))
