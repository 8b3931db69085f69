"""Secrets that stand for somebody: given away once, kept as a hash only."""

import secrets
from hashlib import sha256


def new_token() -> str:
    """256 random bits, fit for a cookie and an address."""
    return secrets.token_urlsafe(32)


def token_hash(token: str) -> str:
    """What the club file keeps of a token. A plain hash suffices: nobody guesses 256 random bits."""
    return sha256(token.encode()).hexdigest()
