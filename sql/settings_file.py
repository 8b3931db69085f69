"""Settings written into club.toml: line by line, so that comments and sections stay as they are."""

import json
import re
import tomllib
from collections.abc import Iterator, Mapping
from typing import Any

from pydantic import ValidationError

from models.refusal import Refused
from models.settings import Settings
from sql.folder import SECTIONS, DataFolder, FolderProblem, write_whole


class SettingsRefused(Refused):
    """Values that cannot be settings; `faults` tells of each setting what is wrong."""

    def __init__(self, faults: Mapping[str, str]) -> None:
        super().__init__("; ".join(f"{name}: {fault}" for name, fault in faults.items()))
        self.faults = dict(faults)


def named_in_file(folder: DataFolder) -> dict[str, Any]:
    """The settings that the file names, as it has them. Raises FolderProblem."""
    folder.settings()
    text = _text(folder)
    return {name: value for name, value in tomllib.loads(text).items() if name not in SECTIONS}


def checked(named: Mapping[str, Any], values: Mapping[str, Any]) -> Settings:
    """The settings of a file with some of them otherwise; None takes one out of it. Raises SettingsRefused."""
    wanted = {name: value for name, value in {**named, **values}.items() if value is not None}
    try:
        return Settings.model_validate(wanted)
    except ValidationError as error:
        faults = {str(fault["loc"][0]): f"saw {fault['input']!r}. {fault['msg']}." for fault in error.errors()}
        raise SettingsRefused(faults) from error


def write_settings(folder: DataFolder, values: Mapping[str, Any]) -> None:
    """Put these into the file; None takes one out of it, so that the one to begin with holds.

    Raises SettingsRefused, or FolderProblem where the file is written in a way that cannot be kept.
    """
    named = named_in_file(folder)
    checked(named, values)
    before = _text(folder)
    text = with_values(before, values)
    wanted = {**tomllib.loads(before), **values}
    if _read(text) != {name: value for name, value in wanted.items() if value is not None}:
        raise FolderProblem(
            f"{folder.settings_file}: is written in a way that only a person can change. Change "
            f"{', '.join(values)} there by hand."
        )
    write_whole(folder.settings_file, text)


def with_values(text: str, values: Mapping[str, Any]) -> str:
    """The text of a TOML file with these values of its top; the others, comments and sections stay."""
    lines = text.splitlines()
    top = next((number for number, line in enumerate(lines) if line.lstrip().startswith("[")), len(lines))
    kept = [line for line in lines[:top] if not _names_one_of(line, values)]
    while kept and not kept[-1].strip():
        kept.pop()
    rest = ["", *lines[top:]] if lines[top:] else []
    return "\n".join([*kept, *_written(values), *rest]) + "\n"


def _names_one_of(line: str, values: Mapping[str, Any]) -> bool:
    found = re.match(r"\s*[\"']?([A-Za-z0-9_]+)[\"']?\s*=", line)
    return found is not None and found[1] in values


def _written(values: Mapping[str, Any]) -> Iterator[str]:
    for name, value in values.items():
        if value is not None:
            yield f"{name} = {json.dumps(value, ensure_ascii=False)}"


def _read(text: str) -> dict[str, Any] | None:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return None


def _text(folder: DataFolder) -> str:
    return folder.settings_file.read_text(encoding="utf-8") if folder.settings_file.exists() else ""
