"""The nearest known word or code, for a reader who mistyped one."""

from collections.abc import Iterable
from difflib import get_close_matches
from functools import lru_cache


def nearest(seen: str, known: Iterable[str]) -> str | None:
    """The known word most like the one seen, regardless of case; None where none is near."""
    return _nearest(seen[:60], tuple(known))


@lru_cache(maxsize=4096)
def _nearest(seen: str, known: tuple[str, ...]) -> str | None:
    by_lower = {word.lower().replace("_", " "): word for word in known}
    found = get_close_matches(seen.lower().replace("_", " "), by_lower, n=1, cutoff=0.5)
    return by_lower[found[0]] if found else None
