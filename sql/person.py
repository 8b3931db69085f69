"""A person as texts name them: by a name or by the code, as words of their own, never as a part of another's name.

A name is found however it is typed: in capitals, without its marks, with ue for ü. A part of it that stands alone (the
surname, the first name) may mean somebody else: it counts only in the texts of which somebody has said so.
"""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property
from unicodedata import combining, normalize

from models.records import RECORDS
from models.words import ALL_WORD_LISTS

WORDS_OF_THE_LOG = frozenset(
    word.casefold()
    for words in (RECORDS, *(words.names for words in ALL_WORD_LISTS), *(r.model_fields for r in RECORDS.values()))
    for word in words
)

BETWEEN_WORDS = r"[\s_.,-]+"
"""What may stand between the words of a name: file names have other signs than lists. No sign that builds JSON."""

MARKS = "[\u0300-\u036f]"
"""Combining marks, which stand behind their letter in a decomposed text (Unicode, Combining Diacritical Marks)."""

TYPED_AS = {
    "ä": "ae",
    "ö": "oe",
    "ü": "ue",
    "å": "aa",
    "ß": "ss",
    "æ": "ae",
    "œ": "oe",
    "ø": "oe|o",
    "ł": "l",
    "đ": "d",
    "ð": "d",
    "þ": "th",
    "ı": "i",
}
"""What else people type for a letter that their keyboard has not; beside the bare letter."""

SHORTEST_PART = 3


@dataclass(frozen=True)
class Person:
    """A player, and what names them in a text."""

    code: str
    words: frozenset[str]
    """Each name that the player ever had here, and the code; none that also means something else."""
    others: frozenset[str] = frozenset()
    """Names and codes of others with such a word in them: Ada Lind is not Ada."""
    parts: frozenset[str] = frozenset()
    """Words of the names, which may mean somebody else where they stand alone."""
    meant_in: frozenset[str] = frozenset()
    """The texts in which they mean this person: somebody has looked."""

    def is_named_in(self, text: str) -> bool:
        """The text speaks of this person."""
        return _names(self._pattern_for(text), text)

    def may_be_named_in(self, text: str) -> bool:
        """A part of a name stands in the text, and nothing that tells whose it is."""
        return not _names(self._sure, text) and _names(self._with_parts, text)

    def without(self, text: str, instead: str) -> str:
        """The text with other words instead of this person's."""
        pattern = self._pattern_for(text)
        return normalize("NFC", pattern.sub(lambda found: found["other"] or instead, normalize("NFD", text)))

    def _pattern_for(self, text: str) -> re.Pattern[str]:
        return self._with_parts if text in self.meant_in else self._sure

    @cached_property
    def _sure(self) -> re.Pattern[str]:
        return _pattern(self.others, self.words)

    @cached_property
    def _with_parts(self) -> re.Pattern[str]:
        return _pattern(self.others, self.words | self.parts)


def _names(pattern: re.Pattern[str], text: str) -> bool:
    return any(found["other"] is None for found in pattern.finditer(normalize("NFD", text)))


def _pattern(others: Iterable[str], words: Iterable[str]) -> re.Pattern[str]:
    # Of two words that begin at the same place the first is taken: so others come first, and longer names. Others are
    # themselves only as they are written: Ana is not Aña.
    as_written = _any_of(others, lambda word: re.escape(normalize("NFD", word)))
    both = rf"(?P<other>{as_written})|(?:{_any_of(words, _however_typed)})"
    return re.compile(rf"(?<![^\W_])(?:{both})(?![^\W_]|{MARKS})", re.IGNORECASE)


def _any_of(names: Iterable[str], spelled: Callable[[str], str]) -> str:
    longest_first = sorted(names, key=len, reverse=True)
    return "|".join(BETWEEN_WORDS.join(map(spelled, name.split())) for name in longest_first) or "(?!)"


def _however_typed(word: str) -> str:
    return "".join(map(_letter, normalize("NFC", word)))


def _letter(letter: str) -> str:
    bare = "".join(sign for sign in normalize("NFD", letter) if not combining(sign))
    plain = re.escape(bare) + f"{MARKS}*"
    typed = TYPED_AS.get(letter.lower())
    return f"(?:{plain}|{typed})" if typed else plain


def person_called(code: str, names: Iterable[str], *, others: Iterable[str], things: Iterable[str]) -> Person:
    """The player of this code among others, in a club that calls things (setups, groups) so."""
    taken = WORDS_OF_THE_LOG | {thing.casefold() for thing in things}
    words = frozenset(word for word in (code, *names) if _tells(word, taken))
    whole = {word.casefold() for word in words}
    parts = {part.strip(".,") for name in words - {code} for part in re.split(BETWEEN_WORDS, name)}
    parts = {
        part for part in parts if len(part) >= SHORTEST_PART and _tells(part, taken) and part.casefold() not in whole
    }
    alone = Person(code, words | parts)
    theirs = frozenset(o for o in others if o.casefold() not in whole and alone.is_named_in(o))
    return Person(code, words, theirs, frozenset(parts))


def _tells(word: str, taken: frozenset[str]) -> bool:
    """It means nobody else and nothing else: no number, no single sign, no word of the log."""
    return len(word) > 1 and re.search(r"[^\W\d_]", word) is not None and word.casefold() not in taken
