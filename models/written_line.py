"""A block as it is typed back from a sheet of paper, in the order of the sheet: `BC b s m 30 21 5 2 1 1`.

First the setup, then what was ringed, each by its key or as much of the word as tells it from the others; what was not
ringed is left out. Then the counts. `t40` is the tempo, `m5` the minutes, `e6` the effort of the session.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from models.records import SessionLine, columns_of
from models.refusal import Refused
from models.shapes import OneOf
from models.words import HEIGHT, LENGTH, ORDER, PLACEMENT, SIDESPIN, SPIN, STROKE, WordList, tidy_word

_FIRST_RINGED = (SPIN, LENGTH, PLACEMENT, HEIGHT, SIDESPIN, STROKE, ORDER)
_WORDED = [column.shape.words for column in columns_of(SessionLine) if isinstance(column.shape, OneOf)]

RINGED: tuple[WordList, ...] = (*_FIRST_RINGED, *(words for words in _WORDED if words not in _FIRST_RINGED))
"""What is ringed on a sheet beside the setup, in its order: each column of words that the log has."""

COUNTED = ("balls", "good", "net", "long", "wide", "missed")
"""What is counted on a sheet, in its order."""

MARKED = {"t": "tempo_bpm", "m": "minutes", "e": "effort"}
"""Figures that are typed with a letter before them."""

Values = dict[str, str]


class NotReadable(Refused):
    """A typed line cannot be read for sure; the text says at which word, and what could stand there."""


@dataclass(frozen=True)
class WrittenLine:
    """What a line says, by columns of the session log: the ball, and its counts; either may be empty."""

    ball: Values
    counts: Values


@lru_cache(maxsize=64)
def keys_of(words: WordList) -> Mapping[str, str]:
    """A short key for each word: its initials where it is two, else as many letters as tell it from the other words."""
    initials = {word: "".join(part[0] for part in word.split("_")) for word in words.names if "_" in word}
    single = [word for word in words.names if "_" not in word]
    keys = dict(initials)
    for word in single:
        others = [one for one in single if one != word]
        taken = set(initials.values())
        lengths = range(1, len(word) + 1)
        keys[word] = next(
            (
                word[:length]
                for length in lengths
                if word[:length] not in taken and not any(o.startswith(word[:length]) for o in others)
            ),
            word,
        )
    return {word: keys[word] for word in words.names}


def read_line(text: str, setups: Collection[str]) -> WrittenLine:
    """What a typed line says. Raises NotReadable."""
    tokens = text.replace(",", " ").split()
    begins_with_setup = bool(tokens) and tokens[0].casefold() in {setup.casefold() for setup in setups}
    figures = [token for at, token in enumerate(tokens) if _is_figure(token) and (at > 0 or not begins_with_setup)]
    words = [token for at, token in enumerate(tokens) if not _is_figure(token) or (at == 0 and begins_with_setup)]
    return WrittenLine(_ball(words, setups) | _marked(figures), _counts([one for one in figures if one.isdigit()]))


def _is_figure(token: str) -> bool:
    return token.isdigit() or re.fullmatch(r"[tme]\d+(\.\d+)?", token.casefold()) is not None


def _ball(words: Sequence[str], setups: Collection[str]) -> Values:
    if not words:
        return {}
    first, *rest = words
    found: Values = {"setup": _setup(first, setups)}
    left = list(RINGED)
    for word in rest:
        at = next((at for at, words_ in enumerate(left) if _word(word, words_)), None)
        if at is None:
            raise NotReadable(_not_a_word(word, left))
        found[left[at].name] = str(_word(word, left[at]))
        left = left[at + 1 :]
    return found


def _setup(code: str, setups: Collection[str]) -> str:
    alike = [one for one in setups if one.casefold() == code.casefold()]
    alike = alike or [one for one in setups if one.casefold().startswith(code.casefold())]
    if len(alike) != 1:
        known = ", ".join(alike or setups)
        raise NotReadable(f"Saw {code[:40]!r} first, expected the setup: one of {known}. Nothing of it was taken.")
    return alike[0]


def _word(typed: str, words: WordList) -> str | None:
    """The word of a list that is meant: by its key, whole, or as the only one that begins so."""
    asked = tidy_word(typed)
    for word, key in keys_of(words).items():
        if asked in (key, word):
            return word
    alike = [word for word in words.names if word.startswith(asked)]
    return alike[0] if len(alike) == 1 else None


def _not_a_word(word: str, left: Sequence[WordList]) -> str:
    if not left:
        return f"Saw {word[:40]!r} after all that is ringed, expected the counts. Nothing of it was taken."
    choices = "; ".join(f"{words.name} {', '.join(keys_of(words).values())}" for words in left)
    return f"Saw {word[:40]!r}, expected one of: {choices}. Nothing of it was taken."


def _marked(figures: Sequence[str]) -> Values:
    marked = [figure.casefold() for figure in figures if not figure.isdigit()]
    return {MARKED[figure[0]]: figure[1:] for figure in marked}


def _counts(numbers: Sequence[str]) -> Values:
    if len(numbers) == 1 or len(numbers) > len(COUNTED):
        raise NotReadable(
            f"Saw {len(numbers)} count{'' if len(numbers) == 1 else 's'}, expected {' '.join(COUNTED)} in this order; "
            "balls and good at least. Nothing of it was taken."
        )
    counts = dict(zip(COUNTED, numbers, strict=False))
    # Who counts any mistakes has counted them all: what is not written is none.
    return counts if len(numbers) in (0, 2) else {**dict.fromkeys(COUNTED, "0"), **counts}
