"""How an answer becomes rows of a type: its columns are held to the fields of the type, by name, kind and emptiness.

A row type is a frozen dataclass whose fields are columns. A field `words` gathers the dimensions of a combination.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import date, datetime
from functools import cache, lru_cache
from types import NoneType, UnionType
from typing import Any, Literal, TypeVar, get_args, get_origin, get_type_hints

import polars as pl

from models.words import DIMENSION

R = TypeVar("R")

Words = Mapping[str, str | None]
"""A wanted combination: the word of each dimension, in the order of the dimensions; None where any will do."""

_HOLDS: Mapping[Any, Callable[[pl.DataType], bool]] = {
    bool: lambda kind: kind == pl.Boolean,
    int: lambda kind: kind.is_integer(),
    float: lambda kind: kind.is_float(),
    str: lambda kind: kind == pl.String,
    date: lambda kind: kind == pl.Date,
    datetime: lambda kind: isinstance(kind, pl.Datetime),
}
_STORED: Mapping[Any, Any] = {
    bool: pl.Boolean,
    int: pl.Int64,
    float: pl.Float64,
    str: pl.String,
    date: pl.Date,
    datetime: pl.Datetime("us"),
}


class NotTheseRows(TypeError):
    """An answer is not made of the rows that its question promises; the text names the type and the columns."""


@dataclass(frozen=True)
class _Field:
    """A column as a row type declares it."""

    name: str
    kind: Any
    may_be_empty: bool


def rows(frame: pl.DataFrame, as_: type[R]) -> tuple[R, ...]:
    """The rows of an answer, in its order. Raises NotTheseRows."""
    kind: Any = as_  # A type of rows is not known to be hashable, though every class is.
    _require_columns(kind, tuple(frame.schema.items()))
    if hollow := [name for name in _never_empty(kind) if frame.get_column(name).null_count()]:
        raise NotTheseRows(f"{as_.__name__}: {', '.join(hollow)} may not be empty, and is in an answer.")
    ordered = frame.select(
        pl.struct(DIMENSION.names).alias(field.name) if field.kind is Words else field.name for field in _declared(kind)
    )
    return tuple(as_(*values) for values in ordered.iter_rows())


def frame_of(given: Sequence[R], of: type[R]) -> pl.DataFrame:
    """Rows as a frame, for a chart or a table to be sorted; the dimensions of a combination stay one column."""
    kind: Any = of
    columns = {field.name: [getattr(row, field.name) for row in given] for field in _declared(kind)}
    return pl.DataFrame(columns, schema={field.name: _STORED.get(field.kind) for field in _declared(kind)})


# The columns of a question are the same in every answer: they are compared once.
@lru_cache(maxsize=256)
def _require_columns(as_: Any, schema: tuple[tuple[str, pl.DataType], ...]) -> None:
    found = dict(schema)
    wanted = {name for field in _declared(as_) for name in _columns_of(field)}
    if found.keys() != wanted:
        lacking, beyond = sorted(wanted - found.keys()), sorted(found.keys() - wanted)
        raise NotTheseRows(f"{as_.__name__}: an answer lacks the columns {lacking}, and has {beyond} beyond its own.")
    for field in _declared(as_):
        kind = str if field.kind is Words else field.kind
        for name in _columns_of(field):
            if not _HOLDS[kind](found[name]):
                raise NotTheseRows(f"{as_.__name__}: {name} is {found[name]} in an answer, expected {kind.__name__}.")


def _columns_of(field: _Field) -> tuple[str, ...]:
    return DIMENSION.names if field.kind is Words else (field.name,)


@cache
def _never_empty(as_: Any) -> tuple[str, ...]:
    return tuple(field.name for field in _declared(as_) if not field.may_be_empty and field.kind is not Words)


@cache
def _declared(as_: Any) -> tuple[_Field, ...]:
    hints = get_type_hints(as_)
    return tuple(_field(field.name, hints[field.name]) for field in fields(as_))


def _field(name: str, hint: Any) -> _Field:
    if hint == Words:
        return _Field(name, Words, may_be_empty=False)
    kinds = get_args(hint) if isinstance(hint, UnionType) else (hint,)
    kind = next(kind for kind in kinds if kind is not NoneType)
    return _Field(name, str if get_origin(kind) is Literal else kind, may_be_empty=NoneType in kinds)
