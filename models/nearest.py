"""The known words or codes that a reader may have meant, who mistyped one."""

from collections.abc import Iterable
from difflib import SequenceMatcher, get_close_matches
from functools import lru_cache

LIKE_ENOUGH = 0.5
"""A word is near from this likeness on: twice the signs in common, in their order, over all signs of both."""
ABOUT_AS_LIKE = 0.15
"""What is less like than the most like by no more than this fits as well."""
WEIGHT = 0.1
"""What the same signs in another order add to a likeness, and what it adds that the file names the word elsewhere."""
MOST_OFFERED = 3


def nearest(seen: str, known: Iterable[str]) -> str | None:
    """The known word most like the one seen, regardless of case; None where none is near."""
    return next(iter(fitting(seen, known)), None)


def fitting(seen: str, known: Iterable[str], named: frozenset[str] = frozenset()) -> tuple[str, ...]:
    """The known words that may be meant by the one seen, the likeliest first; at most three.

    `named` are those that the same file names elsewhere: what a hand wrote right once it more likely meant.
    """
    return _fitting(seen[:60], tuple(known), named)


@lru_cache(maxsize=4096)
def _fitting(seen: str, known: tuple[str, ...], named: frozenset[str]) -> tuple[str, ...]:
    by_plain = {_plain(word): word for word in known}
    typed = _plain(seen)
    found = get_close_matches(typed, by_plain, n=8, cutoff=LIKE_ENOUGH)
    likeness = {by_plain[word]: SequenceMatcher(None, word, typed).ratio() for word in found}
    best = max(likeness.values(), default=0)
    weighed = {
        word: like + WEIGHT * (sorted(_plain(word)) == sorted(typed)) + WEIGHT * (word in named)
        for word, like in likeness.items()
        if like >= best - ABOUT_AS_LIKE
    }
    return tuple(sorted(weighed, key=lambda word: (-weighed[word], word)))[:MOST_OFFERED]


def _plain(word: str) -> str:
    return word.lower().replace("_", " ")
