"""Passwords: what is kept of them, and what makes one too easy."""

import unicodedata
from functools import cache

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from models.refusal import Refused

SHORTEST = 10
"""Characters. A choice of this house, not a standard: long enough beside the lock and the delays."""
LONGEST = 200

# argon2-cffi's own: argon2id, 3 passes, 64 MiB, 4 lanes; the second of the two settings that RFC 9106, 4 recommends.
_HASHER = PasswordHasher()


class WeakPassword(Refused):
    """A password that is too easy; the text says what is expected."""


def require_strong(password: str, name: str) -> None:
    """Raises WeakPassword."""
    plain = _one_form(password)
    if not SHORTEST <= len(plain) <= LONGEST:
        raise WeakPassword(f"saw {len(plain)} characters, expected {SHORTEST} to {LONGEST}.")
    if len(set(plain.casefold())) < SHORTEST // 2 or plain.casefold() in name.casefold() * 2:
        raise WeakPassword("this one is easy to guess. Take three or four words that have nothing to do together.")


def hashed(password: str) -> str:
    """What is kept of a password. Takes about a tenth of a second and 64 MiB: never on the server's own thread."""
    return _HASHER.hash(_one_form(password))


def matches(kept: str | None, password: str) -> bool:
    """It is that password. An account that does not exist takes as long as one that does."""
    try:
        return _HASHER.verify(kept or _nobodys(), _one_form(password[: 2 * LONGEST])) and kept is not None
    except (VerificationError, InvalidHashError):
        return False


@cache
def _nobodys() -> str:
    return _HASHER.hash("the password of nobody")


def _one_form(password: str) -> str:
    # NIST SP 800-63B, 3.1.1.2: keyboards differ in how they compose the same letter.
    return unicodedata.normalize("NFKC", password)
