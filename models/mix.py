"""A wanted mix: of each dimension that counts, how much of each value; and the lines of the target that it makes."""

from collections.abc import Iterable, Mapping
from math import prod

from models.words import COVERAGE_DIMENSIONS

EVERYBODY = "*"
"""For whom a target is that holds for the whole club."""

Mix = Mapping[str, Mapping[str, float]]
"""Of each dimension that counts, the share of each value in percent, or in any unit."""

WORDS = {words.name: words.names for words in COVERAGE_DIMENSIONS}


def mix_of(shares: Iterable[tuple[str, str, float]]) -> dict[str, dict[str, float]]:
    """The mix of a target in force, from dimension, value and share (of 1): every word of its dimensions, percent."""
    named: dict[str, dict[str, float]] = {}
    for dimension, value, share in shares:
        named.setdefault(dimension, dict.fromkeys(WORDS[dimension], 0.0))[value] = 100 * share
    return {dimension: named[dimension] for dimension in WORDS if dimension in named}


def combinations(mix: Mix) -> int:
    """The size of the grid: every combination of the values with a share; 0 where a dimension has none left."""
    return prod(sum(share > 0 for share in values.values()) for values in mix.values()) if mix else 0


def is_same(one: Mapping[str, float], other: Mapping[str, float]) -> bool:
    """Two shares of values want the same once each is scaled, to a tenth of a percent."""
    return _scaled(one) == _scaled(other)


def target_lines(mix: Mix, applies_to: str, in_force: Mapping[tuple[str, str, str], float]) -> list[dict[str, object]]:
    """The lines that turn the target in force into this mix: of each dimension that changes, all of its words.

    `in_force`: shares above 0 of the receiver's own target, by target, dimension and value. A value that is wanted no
    more gets the share 0, which takes it out of the grid.
    """
    target = next((name for name, _, _ in in_force), "whole club" if applies_to == EVERYBODY else applies_to)
    own: dict[str, dict[str, float]] = {}
    for (_, dimension, value), share in in_force.items():
        own.setdefault(dimension, {})[value] = share
    changed = [name for name in WORDS if not is_same(mix.get(name, {}), own.get(name, {}))]
    return [
        {
            "target": target,
            "applies_to": applies_to,
            "dimension": name,
            "value": value,
            "share": float(mix.get(name, {}).get(value, 0)),
        }
        for name in changed
        for value in WORDS[name]
    ]


def _scaled(values: Mapping[str, float]) -> dict[str, float]:
    whole = sum(values.values())
    return {value: round(share / whole, 3) for value, share in values.items() if share > 0}
