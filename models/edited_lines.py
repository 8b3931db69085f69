"""What was changed in a grid: the lines that are not as they were."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

Line = Mapping[str, Any]


def changed_lines(before: Sequence[Line], after: Iterable[Line]) -> list[dict[str, Any]]:
    """The lines of a grid that say something else than before, row by row; an emptied text says nothing."""
    pairs = zip(map(_tidied, before), map(_tidied, after), strict=True)
    return [now for was, now in pairs if now != was]


def _tidied(line: Line) -> dict[str, Any]:
    return {column: None if isinstance(cell, str) and not cell.strip() else cell for column, cell in line.items()}
