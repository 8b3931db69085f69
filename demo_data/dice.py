"""Chance that falls the same way every time."""

from random import Random

SEED = "halflong demo club"


def dice(*occasion: object) -> Random:
    """A source of chance of its own for each occasion, so that a change to one leaves all others as they were."""
    return Random("/".join(map(str, (SEED, *occasion))))  # noqa: S311 - an invented season, not a secret
