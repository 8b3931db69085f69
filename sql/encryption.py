"""Backups that only their key opens, in the age format (age-encryption.org/v1), which other programs read too.

A key is a pair: with its public half anybody can encrypt, so that the machine that writes backups cannot open them. The
file is written and read piece by piece, and each piece is authenticated: a changed or a cut file does not open.
"""

import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import pyrage

from sql.folder import FolderProblem

BEGINS_WITH = b"age-encryption.org/v1\n"
BY_PASSPHRASE = b"-> scrypt "
LONGEST_KEY_FILE = 100_000
FEWEST_LETTERS = 12
"""Of a passphrase: whoever has the file may guess for years. A choice of this house, not a standard."""


@dataclass(frozen=True)
class Lock:
    """For whom a backup is encrypted: public keys, or whoever knows a passphrase. Raises FolderProblem."""

    public_keys: tuple[str, ...] = ()
    passphrase: str | None = None

    def __post_init__(self) -> None:
        for key in self.public_keys:
            _public_key(key)
        if self.passphrase is not None and len(self.passphrase) < FEWEST_LETTERS:
            raise FolderProblem(
                f"saw a passphrase of {len(self.passphrase)} letters, expected {FEWEST_LETTERS} or more."
            )


@dataclass(frozen=True)
class Key:
    """What opens a backup: private keys out of a key file, or a passphrase."""

    private_keys: tuple[str, ...] = ()
    passphrase: str | None = None


def make_key(file: Path) -> str:
    """Write a new private key into a file that only its owner may read; its public key. Raises FolderProblem."""
    identity = pyrage.x25519.Identity.generate()
    public = str(identity.to_public())
    try:
        handle = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except OSError as error:
        raise FolderProblem(
            f"{file}: cannot be written ({error.strerror}). Name a file that is not there yet."
        ) from error
    with os.fdopen(handle, "w", encoding="ascii") as stream:
        stream.write(f"# public key: {public}\n{identity}\n")
    return public


def read_key(file: Path) -> Key:
    """The private keys of a key file. Raises FolderProblem where it has none."""
    with file.open("rb") as stream:
        lines = stream.read(LONGEST_KEY_FILE).decode("utf-8", errors="replace").split()
    private = tuple(word for word in lines if word.startswith("AGE-SECRET-KEY-"))
    try:
        for word in private:
            pyrage.x25519.Identity.from_str(word)
    except pyrage.IdentityError as error:
        raise FolderProblem(
            f"{file}: saw a private key that is cut short or changed. Take another copy of it."
        ) from error
    if not private:
        raise FolderProblem(f"{file}: saw no private key, expected a line that begins with AGE-SECRET-KEY-.")
    return Key(private)


def _public_key(text: str) -> "pyrage.x25519.Recipient":
    try:
        return pyrage.x25519.Recipient.from_str(text)
    except pyrage.RecipientError as error:
        told = "expected a public key such as 'halflong backup-key FILE' prints, which begins with age1."
        raise FolderProblem(f"saw {text[:80]!r}, {told}") from error


def is_encrypted(file: Path) -> bool:
    """It begins as an encrypted file does."""
    return _top(file).startswith(BEGINS_WITH)


def opens_by_passphrase(file: Path) -> bool:
    """It was encrypted with a passphrase, and with no key."""
    return _top(file).startswith(BEGINS_WITH + BY_PASSPHRASE)


def _top(file: Path) -> bytes:
    if not file.is_file():  # That there is none is told by whoever opens it.
        return b""
    with file.open("rb") as stream:
        return stream.read(len(BEGINS_WITH + BY_PASSPHRASE))


def encrypt(plain: Path, encrypted: Path, lock: Lock) -> None:
    """Write what a file holds into another, encrypted. With a passphrase all of it stands in memory meanwhile."""
    if lock.passphrase is not None:
        encrypted.write_bytes(pyrage.passphrase.encrypt(plain.read_bytes(), lock.passphrase))
        return
    with plain.open("rb") as source, encrypted.open("wb") as target:
        pyrage.encrypt_io(source, target, [_public_key(key) for key in lock.public_keys])


@contextmanager
def opened(file: Path, key: Key | None, beside: Path) -> Iterator[Path]:
    """The file itself, or for an encrypted one a plain copy of it for as long as it is needed.

    `beside`: the folder that the copy's own stands next to. Raises FolderProblem where the key does not open it.
    """
    if not is_encrypted(file):
        yield file
        return
    place = beside.with_name(f".{beside.name}.opened")
    shutil.rmtree(place, ignore_errors=True)  # One that was cut off.
    place.mkdir(mode=0o700, parents=True)
    try:
        plain = place / file.name
        _decrypt(file, plain, key)
        yield plain
    finally:
        shutil.rmtree(place, ignore_errors=True)


def _decrypt(file: Path, plain: Path, key: Key | None) -> None:
    by_passphrase = opens_by_passphrase(file)
    if key is None or (key.passphrase is None) is by_passphrase:
        needed = "the passphrase that it was made with" if by_passphrase else "the key file that opens it, with --key"
        raise FolderProblem(f"{file}: is encrypted. Give {needed}.")
    passphrase = key.passphrase
    if passphrase is not None:
        _told(file, lambda: plain.write_bytes(pyrage.passphrase.decrypt(file.read_bytes(), passphrase)))
        return
    identities = [pyrage.x25519.Identity.from_str(word) for word in key.private_keys]
    with file.open("rb") as source, plain.open("wb") as target:
        _told(file, lambda: pyrage.decrypt_io(source, target, identities))


def _told(file: Path, work: Callable[[], object]) -> None:
    try:
        work()
    except pyrage.DecryptError as error:
        if str(error) == "No matching keys found":
            raise FolderProblem(f"{file}: this key does not open it: it was encrypted for another one.") from error
        if str(error) == "Decryption failed":
            raise FolderProblem(
                f"{file}: does not open: the passphrase is another one, or the file was cut short or changed."
            ) from error
        raise FolderProblem(_damaged(file)) from error
    except OSError as error:
        if error.errno is not None:  # Of the disk.
            raise
        raise FolderProblem(_damaged(file)) from error


def _damaged(file: Path) -> str:
    return f"{file}: this backup was cut short or changed, and does not open. Nothing was restored. Take another one."
