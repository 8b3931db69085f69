"""What tells people how a log looks, derived from the records: templates, explanations, descriptors."""

from functools import singledispatch
from typing import Any

from ingest.csv_out import csv_text
from models.log_line import LogLine
from models.records import RECORDS, Column, columns_of
from models.shapes import NO, YES, Code, Day, Number, OneOf, Text, WholeNumber, YesOrNo
from models.words import COVERAGE_DIMENSIONS, DEPTH, SIDE, SPIN_FAMILY, WordList

STARTER_TARGET: tuple[WordList, ...] = (DEPTH, SIDE, SPIN_FAMILY)
"""The dimensions of the target that the template proposes: where the feeder stands, and what spin it gives."""


def template_csv(kind: str) -> str:
    """A CSV file to fill in: the header, and nobody below it; for targets a target to begin with."""
    return csv_text([_header(kind), *(_starter_rows() if kind == "targets" else [])])


def example_csv(kind: str) -> str:
    """The header with one line as it may be."""
    return csv_text([_header(kind), [column.example for column in columns_of(RECORDS[kind])]])


def _header(kind: str) -> list[str]:
    return [column.name for column in columns_of(RECORDS[kind])]


def _starter_rows() -> list[list[str]]:
    return [["first", "*", words.name, word, "1"] for words in STARTER_TARGET for word in words.names]


def explanation(kind: str) -> str:
    """What the columns of a log mean, as a Markdown table."""
    record = RECORDS[kind]
    lines = [
        f"## {kind}",
        "",
        record.about,
        "",
        "| column | needed | what it holds | written as |",
        "| --- | --- | --- | --- |",
    ]
    lines += [_explained(column) for column in columns_of(record)]
    lines += ["", "A line may look so:", "", "```", *example_csv(kind).splitlines(), "```"]
    lines += ["", f"The same line again (same {', '.join(record.identity)}) takes the place of the earlier one."]
    lines += [f"Rule: {rule.column}: {rule.expected}." for rule in record.rules if kind != "targets"]
    if kind == "targets":
        lines += [f"Words of {words.name}: {', '.join(words.names)}." for words in COVERAGE_DIMENSIONS]
    return "\n".join(lines) + "\n"


def _explained(column: Column) -> str:
    needed = "yes" if column.is_required else ""
    expected = "one of the words below" if column.name == "value" else column.shape.expected
    unit = f" ({column.shape.unit})" if column.shape.unit not in ("", "date") else ""
    return f"| {column.name} | {needed} | {column.help}{unit} | {expected} |"


def table_schema(kind: str) -> dict[str, Any]:
    """The format of a log as a Table Schema (Frictionless standard, version 1), in its canonical spelling."""
    record = RECORDS[kind]
    return {"fields": [_field(column) for column in columns_of(record)], "missingValues": [""], **_key(record)}


def _key(record: type[LogLine]) -> dict[str, Any]:
    """A primary key may hold no empty value, so only a log whose whole identity is required can declare it."""
    required = {column.name for column in columns_of(record) if column.is_required}
    return {"primaryKey": list(record.identity)} if required.issuperset(record.identity) else {}


def _field(column: Column) -> dict[str, Any]:
    constraints = {"required": True} if column.is_required else {}
    field = _field_type(column.shape)
    constraints |= field.pop("constraints", {})
    field |= {"constraints": constraints} if constraints else {}
    return {"name": column.name, "description": column.help, **field}


@singledispatch
def _field_type(shape: Any) -> dict[str, Any]:
    raise TypeError(f"no Table Schema type for {type(shape).__name__}")


@_field_type.register
def _(shape: WholeNumber) -> dict[str, Any]:
    return {"type": "integer", "constraints": {"minimum": shape.minimum, "maximum": shape.maximum}}


@_field_type.register
def _(shape: Number) -> dict[str, Any]:
    return {"type": "number", "constraints": {"minimum": shape.minimum, "maximum": shape.maximum}}


@_field_type.register
def _(shape: Day) -> dict[str, Any]:
    bounds = {"minimum": shape.earliest.isoformat(), "maximum": shape.latest.isoformat()}
    return {"type": "date", "format": "%Y-%m-%d", "constraints": bounds}


@_field_type.register
def _(shape: OneOf) -> dict[str, Any]:
    # The same word may stand in several lists of dimensions; a standard's enum holds it once.
    return {"type": "string", "constraints": {"enum": list(dict.fromkeys(shape.words.names))}}


@_field_type.register
def _(_: YesOrNo) -> dict[str, Any]:
    return {"type": "boolean", "trueValues": list(YES), "falseValues": list(NO)}


@_field_type.register(Text)
@_field_type.register(Code)
def _(shape: Text) -> dict[str, Any]:
    return {"type": "string", "constraints": {"maxLength": shape.longest}}
