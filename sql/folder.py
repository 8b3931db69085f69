"""The data folder of a club: which file holds what, and the settings."""

import os
import tomllib
from dataclasses import dataclass
from pathlib import Path

from pydantic import ValidationError

from models.settings import Settings


class FolderProblem(Exception):
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
    def published(self) -> Path:
        """One file for each build, and CURRENT, which names the one in force."""
        return self.path / "published"

    @property
    def settings_file(self) -> Path:
        """The club's settings."""
        return self.path / "club.toml"

    def publication_in_force(self) -> Path | None:
        """The published file that readers should open, or None before the first build."""
        try:
            name = (self.published / "CURRENT").read_text(encoding="ascii").strip()
        except FileNotFoundError:
            return None
        return self.published / name

    def put_in_force(self, publication: Path) -> None:
        """Let readers open `publication` from now on. The swap is atomic."""
        write_whole(self.published / "CURRENT", publication.name + "\n")

    def settings(self) -> Settings:
        """The club's settings; those to begin with where there is no club.toml. Raises FolderProblem."""
        if not self.settings_file.exists():
            return Settings()
        try:
            return Settings.model_validate(tomllib.loads(self.settings_file.read_text(encoding="utf-8")))
        except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
            sentence = f"{self.settings_file}: this is not a TOML file ({error}). Mend or remove it."
            raise FolderProblem(sentence) from error
        except ValidationError as error:
            raise FolderProblem(_settings_sentence(self.settings_file, error)) from error


def _settings_sentence(file: Path, error: ValidationError) -> str:
    faults = [f"{'.'.join(map(str, e['loc'])) or 'file'}: saw {e['input']!r}; {e['msg']}" for e in error.errors()]
    return f"{file}: {'; '.join(faults)}. Correct the value, or remove the line to have the one to begin with."


def write_whole(file: Path, text: str) -> None:
    """Write a small file so that a reader sees the old text or the new, never half."""
    draft = file.with_name(f".{file.name}.{os.getpid()}")
    with draft.open("w", encoding="utf-8") as stream:
        stream.write(text)
        stream.flush()
        os.fsync(stream.fileno())
    draft.replace(file)
