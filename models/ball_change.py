"""How far a ball changes from the one before it: in which of its words, and by how many steps of their lists."""

from __future__ import annotations

from dataclasses import dataclass

from models.words import COVERAGE_DIMENSIONS
from models.worth import Words


@dataclass(frozen=True)
class Change:
    """A dimension whose word is another now. `steps`: how far apart the two stand in their list (at least 1)."""

    dimension: str
    before: str
    after: str
    steps: int


def changes(before: Words, after: Words) -> tuple[Change, ...]:
    """Where both balls name a word and the words differ, in the order of report.coverage."""
    found = []
    for words in COVERAGE_DIMENSIONS:
        one, other = before.get(words.name), after.get(words.name)
        if one is not None and other is not None and one != other:
            steps = abs(words.names.index(one) - words.names.index(other)) if words.is_ordered else 1
            found.append(Change(words.name, one, other, steps))
    return tuple(found)
