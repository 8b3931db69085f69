"""The federation whose screens a data folder serves: the section [federation] of its club.toml."""

from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from sql.folder import DataFolder, FolderProblem

SECTION = "federation"
LEAST_PLAYERS = 10
"""To begin with: fewer players than this are too few to be told of."""


class ServedFederation(BaseModel):
    """What a body shows of its clubs, and where it lies."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    tables: Path = Field(description="the folder into which 'halflong federation build' publishes")
    least_players: int = Field(LEAST_PLAYERS, ge=2, description="fewer players than this are not told of")
    quiet_days: int = Field(28, ge=1, description="a club whose last log is older is named as quiet")


def served_federation(folder: DataFolder) -> ServedFederation | None:
    """The federation of this folder; None where it is a club's own. Raises FolderProblem."""
    if not folder.has_section(SECTION):
        return None
    try:
        served = ServedFederation.model_validate(folder.section(SECTION))
    except ValidationError as error:
        faults = [f"{'.'.join(map(str, e['loc']))}: saw {e['input']!r}; {e['msg']}" for e in error.errors()]
        raise FolderProblem(f"{folder.settings_file}, section [{SECTION}]: {'; '.join(faults)}. Correct it.") from error
    return served.model_copy(update={"tables": folder.path / served.tables})
