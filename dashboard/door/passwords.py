"""Passwords: what is kept of them, and what makes one too easy."""

import unicodedata
from collections.abc import Iterable
from functools import cache

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from models.refusal import Refused

SHORTEST = 10
"""Characters. A choice of this house, not a standard: long enough beside the lock and the delays."""
LONGEST = 200
EASIEST = 3
"""Of the five grades of `zxcvbn`, 0 to 4 (Wheeler 2016, USENIX Security): below it, 10^8 guesses would find it."""
_LOOKED_AT = 72

# argon2-cffi's own: argon2id, 3 passes, 64 MiB, 4 lanes; the second of the two settings that RFC 9106, 4 recommends.
_HASHER = PasswordHasher()


class WeakPassword(Refused):
    """A password that is too easy; the text says what is expected."""


def require_strong(password: str, own_words: Iterable[str]) -> None:
    """Raises WeakPassword. `own_words`: names of the person and of the club, which others would try first."""
    plain = _one_form(password)
    if not SHORTEST <= len(plain) <= LONGEST:
        raise WeakPassword(f"saw {len(plain)} characters, expected {SHORTEST} to {LONGEST}.")
    if why := _why_easy(plain, [part for words in own_words for part in (words, *words.split()) if len(part) > 2]):
        raise WeakPassword(f"{why} Take three or four words that have nothing to do together.")


def _why_easy(plain: str, own_words: list[str]) -> str | None:
    # Its lists come with it: the 30,000 most common passwords of leaks, English words, first names and surnames. It
    # also knows rows of keys, dates and repetitions. Loading them takes a tenth of a second.
    from zxcvbn import zxcvbn  # noqa: PLC0415

    left = plain.casefold()
    for word in own_words:
        left = left.replace(word.casefold(), "")
    if len(left) < SHORTEST // 2:
        return "it is made of your name, or of the club's, which others would try first."
    found = zxcvbn(plain[:_LOOKED_AT], user_inputs=own_words)
    if found["score"] >= EASIEST:
        return None
    parts = [part for match in found["sequence"] for part in (match, *(match.get("base_matches") or ()))]
    if any(part.get("dictionary_name") == "passwords" for part in parts):
        return "it is one of the most common passwords, or little more than that."
    return "this one is easy to guess."


def hashed(password: str) -> str:
    """What is kept of a password. Takes about a tenth of a second and 64 MiB: never on the server's own thread."""
    return _HASHER.hash(_one_form(password))


def matches(stored_hash: str | None, password: str) -> bool:
    """It is that password. An account that does not exist takes as long as one that does."""
    try:
        return _HASHER.verify(stored_hash or _nobodys(), _one_form(password[: 2 * LONGEST])) and stored_hash is not None
    except (VerificationError, InvalidHashError):
        return False


@cache
def _nobodys() -> str:
    return _HASHER.hash("the password of nobody")


def _one_form(password: str) -> str:
    # NIST SP 800-63B, 3.1.1.2: keyboards differ in how they compose the same letter.
    return unicodedata.normalize("NFKC", password)
