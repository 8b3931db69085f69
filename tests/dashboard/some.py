"""Rows of a type of which a test says only what it is about."""

from dataclasses import fields
from datetime import date
from types import UnionType
from typing import Any, Literal, TypeVar, get_args, get_origin, get_type_hints

from dashboard.rows.building import Words
from models.words import DIMENSION

R = TypeVar("R")

_BLANKS: dict[Any, Any] = {int: 0, float: 0.0, str: "", bool: False, date: date(2026, 11, 20)}


def some(kind: type[R], **known: Any) -> R:
    """A row with these columns; what may be empty is empty, anything else is 0, false or without letters."""
    hints = get_type_hints(kind)
    return kind(**{field.name: _blank(hints[field.name]) for field in fields(kind)} | known)  # type: ignore[arg-type]


def in_words(**known: str) -> Words:
    """A wanted combination that names these dimensions."""
    return dict.fromkeys(DIMENSION.names) | known


def _blank(hint: Any) -> Any:
    if hint == Words:
        return in_words()
    if get_origin(hint) is Literal:
        return get_args(hint)[0]
    return None if isinstance(hint, UnionType) else _BLANKS[hint]
