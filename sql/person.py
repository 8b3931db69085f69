"""A person as texts name them: by a name or by the code, as words of their own, never as a part of another's name."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from unicodedata import normalize

from models.records import RECORDS
from models.words import ALL_WORD_LISTS

WORDS_OF_THE_LOG = frozenset(
    word.casefold()
    for words in (RECORDS, *(words.names for words in ALL_WORD_LISTS), *(r.model_fields for r in RECORDS.values()))
    for word in words
)

BETWEEN_WORDS = r"[\s_.,-]+"
"""What may stand between the words of a name: file names have other signs than lists. No sign that builds JSON."""


@dataclass(frozen=True)
class Person:
    """A player, and what names them in a text."""

    code: str
    words: frozenset[str]
    """Each name that the player ever had here, and the code; none that also means something else."""
    others: frozenset[str] = frozenset()
    """Names and codes of others with such a word in them: Ada Lind is not Ada."""

    def is_named_in(self, text: str) -> bool:
        """The text speaks of this person."""
        return any(found["other"] is None for found in self._pattern.finditer(normalize("NFC", text)))

    def without(self, text: str, instead: str) -> str:
        """The text with other words instead of this person's."""
        return self._pattern.sub(lambda found: found["other"] or instead, normalize("NFC", text))

    @cached_property
    def _pattern(self) -> re.Pattern[str]:
        # Of two words that begin at the same place the first is taken: so others come first, and longer names.
        both = rf"(?P<other>{_any_of(self.others)})|(?:{_any_of(self.words)})"
        return re.compile(rf"(?<![^\W_])(?:{both})(?![^\W_])", re.IGNORECASE)


def _any_of(words: Iterable[str]) -> str:
    longest_first = sorted(words, key=len, reverse=True)
    return (
        "|".join(BETWEEN_WORDS.join(map(re.escape, normalize("NFC", word).split())) for word in longest_first) or "(?!)"
    )


def person_called(code: str, names: Iterable[str], *, others: Iterable[str], things: Iterable[str]) -> Person:
    """The player of this code among others, in a club that calls things (setups, groups) so."""
    taken = WORDS_OF_THE_LOG | {thing.casefold() for thing in things}
    words = frozenset(word for word in (code, *names) if _tells(word, taken))
    alone, same = Person(code, words), {word.casefold() for word in words}
    return Person(code, words, frozenset(o for o in others if o.casefold() not in same and alone.is_named_in(o)))


def _tells(word: str, taken: frozenset[str]) -> bool:
    """It means nobody else and nothing else: no number, no single sign, no word of the log."""
    return len(word) > 1 and re.search(r"[^\W\d_]", word) is not None and word.casefold() not in taken
