"""Of what a page on paper is made: plain values, which the templates set in type."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any


@dataclass(frozen=True)
class Heading:
    """What a section is called."""

    text: str


@dataclass(frozen=True)
class Sentence:
    """A paragraph; a small one is beside the point."""

    text: str
    is_small: bool = False


@dataclass(frozen=True)
class Points:
    """Sentences as a list; small ones where there may be many."""

    sentences: Sequence[str]
    are_small: bool = False


@dataclass(frozen=True)
class SideBySide:
    """Short lists beside each other: pairs of a heading and its sentences."""

    lists: Sequence[tuple[str, Sequence[str]]]


@dataclass(frozen=True)
class Numbers:
    """Figures that stand side by side: pairs of a title and a figure."""

    figures: Sequence[tuple[str, str]]


@dataclass(frozen=True)
class Table:
    """Rows below their titles."""

    titles: Sequence[str]
    rows: Sequence[Sequence[str]]


@dataclass(frozen=True)
class Drawing:
    """An SVG with its words for who does not see it; how much of its room it takes across."""

    svg: str
    alternative: str
    caption: str
    width: float = 1.0


@dataclass(frozen=True)
class Drawings:
    """Drawings side by side, each as wide as its share."""

    drawings: Sequence[Drawing]
    shares: Sequence[float]


@dataclass(frozen=True)
class Legend:
    """What signs mean: pairs of an SVG and its word."""

    entries: Sequence[tuple[str, str]]


@dataclass(frozen=True)
class Week:
    """A week as a picture, in columns of groups: players in rows, days across; each cell holds names of `signs`."""

    signs: dict[str, tuple[str, str]]
    """An SVG and its word, by name."""
    columns: Sequence[Sequence["WeekGroup"]]


@dataclass(frozen=True)
class WeekGroup:
    """A group: its name, how many of it have a log; the lines above each day; rows of a name, cells and balls."""

    name: str
    logged: str
    days: Sequence[Sequence[str]]
    rows: Sequence[tuple[str, Sequence[Sequence[str]], str]]


@dataclass(frozen=True)
class Meanings:
    """What figures mean, in small print: pairs of a name and a meaning."""

    meanings: Sequence[tuple[str, str]]


Part = Heading | Sentence | Points | SideBySide | Numbers | Table | Drawing | Drawings | Legend | Week | Meanings


def as_values(parts: Sequence[Part]) -> list[dict[str, Any]]:
    """What a template is given of them."""
    return [{"kind": type(part).__name__.lower(), **asdict(part)} for part in parts]
