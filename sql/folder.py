"""The data folder of a club: which file holds what, and the settings."""

import os
import re
import tomllib
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from models.refusal import Refused

if TYPE_CHECKING:  # What reads settings is loaded where they are read: not by a command that only tells its help.
    from pydantic import ValidationError

    from models.settings import Settings

SECTIONS = ("door", "federation")
"""Sections of club.toml that are not about the figures: no build depends on them, none is published."""


class FolderProblem(Refused):
    """Something about the data folder that its keeper must mend; the text says what and how."""


@dataclass(frozen=True)
class DataFolder:
    """Where everything of one club lives."""

    path: Path

    @property
    def warehouse_file(self) -> Path:
        """The truth: schema log, written by one process at a time."""
        return self.path / "warehouse.duckdb"

    @property
    def lock_file(self) -> Path:
        """Held by whoever has the warehouse open."""
        return self.path / "warehouse.lock"

    @property
    def holder_file(self) -> Path:
        """Says which process holds the lock; found without a holder, that process died in the middle of its work."""
        return self.path / "warehouse.holder"

    @property
    def published(self) -> Path:
        """One file for each build, and CURRENT, which names the one in force."""
        return self.path / "published"

    @property
    def owed_file(self) -> Path:
        """Stands while the publication in force may be behind the log."""
        return self.published / "OWED"

    @property
    def erased_file(self) -> Path:
        """Stands while publications from before an erasure may still lie here."""
        return self.published / "ERASED"

    @property
    def restoring_file(self) -> Path:
        """Stands while a backup is restored here; what lies beside it is not to be used yet."""
        return self.path / "RESTORING"

    @property
    def backups_file(self) -> Path:
        """The backups that were made, one JSON object in a line."""
        return self.path / "backups.jsonl"

    @property
    def club_file(self) -> Path:
        """Accounts, web sessions, the audit trail, and taps that are not in the log yet."""
        return self.path / "club.sqlite"

    @property
    def lake_key_file(self) -> Path:
        """The key of the codes by which the club's people stand in a lake; made by the first export."""
        return self.path / "lake.key"

    @property
    def settings_file(self) -> Path:
        """The club's settings."""
        return self.path / "club.toml"

    def publication_in_force(self) -> Path | None:
        """The published file that readers should open, or None where none is named."""
        try:
            name = (self.published / "CURRENT").read_text(encoding="ascii", errors="replace").strip()
        except FileNotFoundError:
            return None
        return self.published / name if re.fullmatch(r"[0-9]{6,}\.duckdb", name) else None

    def put_in_force(self, publication: Path) -> None:
        """Let readers open `publication` from now on. The swap is atomic."""
        write_whole(self.published / "CURRENT", publication.name + "\n")

    def settings(self) -> "Settings":
        """The club's settings; those to begin with where there is no club.toml. Raises FolderProblem."""
        from pydantic import ValidationError  # noqa: PLC0415

        from models.settings import Settings  # noqa: PLC0415

        values = {key: value for key, value in self._settings_text().items() if key not in SECTIONS}
        try:
            return Settings.model_validate(values)
        except ValidationError as error:
            raise FolderProblem(_settings_sentence(self.settings_file, error)) from error

    def local(self, instant: datetime) -> datetime:
        """An instant as the clock on the club's wall has it; by this machine's clock where club.toml is not sound."""
        from models.settings import Settings  # noqa: PLC0415

        try:
            return self.settings().local(instant)
        except FolderProblem:
            return Settings().local(instant)

    def has_section(self, name: str) -> bool:
        """Whether club.toml has such a section, be it empty."""
        return name in self._settings_text()

    def section(self, name: str) -> dict[str, Any]:
        """A section of club.toml that is not about the figures, as written; empty where it is not there."""
        section = self._settings_text().get(name, {})
        if not isinstance(section, dict):
            raise FolderProblem(f"{self.settings_file}: saw {name} = {section!r}, expected a section [{name}].")
        return section

    def _settings_text(self) -> dict[str, Any]:
        if not self.settings_file.exists():
            return {}
        try:
            return tomllib.loads(self.settings_file.read_text(encoding="utf-8"))
        except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
            sentence = f"{self.settings_file}: this is not a TOML file ({error}). Mend or remove it."
            raise FolderProblem(sentence) from error


def _settings_sentence(file: Path, error: "ValidationError") -> str:
    faults = [f"{'.'.join(map(str, e['loc'])) or 'file'}: saw {e['input']!r}; {e['msg']}" for e in error.errors()]
    return f"{file}: {'; '.join(faults)}. Correct the value, or remove the line to have the one to begin with."


def write_whole(file: Path, text: str) -> None:
    """Write a small file so that a reader sees the old text or the new, never half."""
    draft = file.with_name(f".{file.name}.{os.getpid()}")
    try:
        with os.fdopen(os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "w", encoding="utf-8") as stream:
            stream.write(text)
            stream.flush()
            os.fsync(stream.fileno())
        draft.replace(file)
    except OSError:
        draft.unlink(missing_ok=True)  # A full disk leaves a stump.
        raise
