"""A pasted list of names made into lines of the players log: what stands beside a name is told by its look."""

import re
import unicodedata
from collections.abc import Collection, Iterable
from typing import Any

from models.words import HANDEDNESS, tidy_word

Line = dict[str, Any]

_HANDS = {word: word for word in HANDEDNESS.names} | {word[0]: word for word in HANDEDNESS.names}
_SUFFIXES = ("-handed", "_handed", "handed", "_hand")
_NUMBERED = re.compile(r"^\s*(?:\d+\s*[.)]|[-*•–])\s*")
_YEAR = re.compile(r"^(19|20)\d\d$")
LONGEST_CODE = 8


def players_pasted(text: str, taken: Collection[str], group: str | None = None) -> list[Line]:
    """One line of the log for each line of the text that is not empty: name, then hand, group and year of birth.

    Commas, semicolons or tabs stand between them; all but the name may be left out, in any order. Without a hand it is
    the right one, without a group the one that is given. Each gets a code that nobody has, made of the name.
    """
    lines: list[Line] = []
    for typed in text.splitlines():
        name, *beside = [part.strip() for part in re.split(r"[,;\t]", _NUMBERED.sub("", typed))]
        if name:
            codes = {*taken, *(line["player"] for line in lines)}
            lines.append({"player": code_for(name, codes), "name": name, **_beside(beside, group)})
    return lines


def code_for(name: str, taken: Collection[str]) -> str:
    """A short code of plain capitals for a name, which nobody has yet: the first name, longer or numbered at need."""
    words = [word for word in (_plain(part) for part in name.split()) if word] or ["P"]
    whole = "".join(words)
    wished = [words[0][:LONGEST_CODE], *(f"{words[0]}{''.join(words[1:])[:n]}"[:LONGEST_CODE] for n in (1, 2))]
    numbered = (f"{whole[: LONGEST_CODE - 2]}{number}" for number in range(2, len(taken) + 3))
    used = {code.casefold() for code in taken}
    return next(code for code in [*wished, *numbered] if code.casefold() not in used)


def _plain(word: str) -> str:
    letters = unicodedata.normalize("NFKD", word).encode("ascii", "ignore").decode()
    return re.sub(r"[^A-Z0-9]", "", letters.upper())


def _beside(parts: Iterable[str], group: str | None) -> Line:
    found: Line = {"handedness": "right", "group": group, "birth_year": None}
    for part in filter(None, parts):
        hand = _hand(part)
        if hand:
            found["handedness"] = hand
        elif _YEAR.match(part):
            found["birth_year"] = int(part)
        else:
            found["group"] = part
    return found


def _hand(part: str) -> str | None:
    word = tidy_word(part)
    for suffix in _SUFFIXES:
        word = word.removesuffix(suffix)
    return _HANDS.get(word)
