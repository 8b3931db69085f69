"""Keyed codes in place of a club's own: the same code for the same text, which nobody turns back without the key."""

import hmac
import os
import secrets
from dataclasses import dataclass, field
from pathlib import Path

import polars as pl

from sql.folder import DataFolder, FolderProblem
from sql.warehouse import ask

KEY_BYTES = 32
CODE_LETTERS = 16
EVERYONE = "*"
"""Not a code of the club: a target that applies to it applies to all."""


@dataclass
class Codes:
    """The codes that one club's key gives (HMAC-SHA-256, RFC 2104), cut to 64 bits: enough for a club's thousands."""

    key: bytes
    _known: dict[str, str] = field(default_factory=dict)

    def of(self, text: str) -> str:
        """The code of one text."""
        if text == EVERYONE:
            return text
        if text not in self._known:
            self._known[text] = self.digest(text)[:CODE_LETTERS]
        return self._known[text]

    def digest(self, text: str) -> str:
        """The whole keyed digest, 64 hexadecimal letters."""
        return hmac.digest(self.key, text.encode(), "sha256").hex()

    @property
    def fingerprint(self) -> str:
        """Tells one key from another, and nothing of either."""
        return self.digest("the key of this club")[:CODE_LETTERS]


def club_codes(file: Path) -> Codes:
    """The codes of a club, whose key is made where there is none yet. Raises FolderProblem where it is no key."""
    if not file.exists():
        with os.fdopen(os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w", encoding="ascii") as stream:
            stream.write(secrets.token_hex(KEY_BYTES) + "\n")
    try:
        key = bytes.fromhex(file.read_text(encoding="ascii").strip())
    except (ValueError, UnicodeDecodeError):
        key = b""
    if len(key) != KEY_BYTES:
        raise FolderProblem(
            f"{file}: expected {2 * KEY_BYTES} hexadecimal letters, the key of this club's codes. Put it back from a "
            "copy; or remove it, and export with --new-key: everybody gets other codes then."
        )
    return Codes(key)


def player_codes(folder: DataFolder) -> pl.DataFrame:
    """The players of a club with the codes by which they stand in a lake. Raises FolderProblem where none was made."""
    if not folder.lake_key_file.exists():
        raise FolderProblem(f"{folder.lake_key_file}: there is no key. 'halflong federation export' makes it.")
    codes = club_codes(folder.lake_key_file)
    players = ask(folder, "select player_id, name from core.players order by player_id")
    return players.with_columns(code=pl.Series([codes.of(player) for player in players["player_id"]], dtype=pl.String))
