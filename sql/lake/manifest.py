"""What lies in a lake: one manifest for each club, which names every file of the club that counts.

`log/<table>/bucket=NN/[season=YYYY/]<club>.<digest>.parquet` holds lines; `clubs/bucket=NN/<club>.json` is a manifest.
"""

import json
from datetime import date, datetime
from hashlib import sha256
from pathlib import Path

from pydantic import BaseModel, ConfigDict, ValidationError

from models.refusal import Refused
from models.settings import Settings

FORMAT = 1
BUCKETS = 64
SEASON_BEGINS = 7
"""The month in which a season begins; it is named by the year in which it does (common practice, no source)."""


class LakeProblem(Refused):
    """Something about a lake that its keeper must mend; the text says what and how."""


class LakeFile(BaseModel):
    """One file of a club."""

    model_config = ConfigDict(frozen=True)

    table: str
    path: str
    """Below the lake's folder, with / between its parts."""
    rows: int
    size_bytes: int
    sha256: str


class ClubManifest(BaseModel):
    """What one club has in the lake."""

    model_config = ConfigDict(frozen=True)

    format: int
    log_version: int
    """The number of the last migration of the log that the lines come from."""
    software_version: str
    club_id: str
    key_fingerprint: str
    exported_at: datetime
    """UTC."""
    settings: Settings
    files: tuple[LakeFile, ...]

    def rows_of(self, table: str) -> int:
        """How many rows of a table the club has."""
        return sum(file.rows for file in self.files if file.table == table)


def bucket_of(club_id: str) -> str:
    """The folder in which a club's files lie beside those of some others: a folder for each would be slow to list."""
    return f"bucket={int(sha256(club_id.encode()).hexdigest()[:8], 16) % BUCKETS:02d}"


def season_of(day: date) -> int:
    """The year in which the season of a day began."""
    return day.year if day.month >= SEASON_BEGINS else day.year - 1


def manifest_file(lake: Path, club_id: str) -> Path:
    """Where the manifest of a club lies."""
    return lake / "clubs" / bucket_of(club_id) / f"{club_id}.json"


def clubs_in(lake: Path, log_version: int) -> list[ClubManifest]:
    """The manifests of all clubs, by club, every file of theirs there. Raises LakeProblem."""
    files = sorted((lake / "clubs").glob("bucket=*/*.json"), key=lambda file: file.stem)
    if not files:
        raise LakeProblem(
            "holds no club.",
            where=lake,
            to_do="Export the clubs' logs into it ('halflong federation export --lake ...').",
        )
    clubs = [read_manifest(file, log_version) for file in files]
    for club in clubs:
        require_whole(lake, club)
    return clubs


def read_manifest(file: Path, log_version: int) -> ClubManifest:
    """One manifest. Raises LakeProblem where it is none, or of another version than this software reads."""
    try:
        said = json.loads(file.read_text(encoding="utf-8"))
        versions = (said["format"], said["log_version"])
    except (ValueError, KeyError, TypeError) as error:
        raise LakeProblem("this is no manifest of a club.", where=file, to_do="Let that club export again.") from error
    if versions != (FORMAT, log_version):
        raise LakeProblem(
            f"saw format {versions[0]} with version {versions[1]} of the log, expected {FORMAT} with {log_version}.",
            where=file,
            to_do="Let club and federation use the same version of Halflong, then export again.",
        )
    try:
        return ClubManifest.model_validate(said)
    except ValidationError as error:
        fault = error.errors()[0]
        sentence = f"{'.'.join(map(str, fault['loc']))}: {fault['msg']}."
        raise LakeProblem(sentence, where=file, to_do="Let that club export again.") from error


def require_whole(lake: Path, club: ClubManifest) -> None:
    """Every file that a manifest names is there, as long as it says. Raises LakeProblem."""
    for file in club.files:
        path = lake / file.path
        size = path.stat().st_size if path.is_file() else None
        if size != file.size_bytes:
            seen = "is missing" if size is None else f"has {size} bytes"
            raise LakeProblem(
                f"{seen}, expected {file.size_bytes} bytes of the club '{club.club_id}'.",
                where=path,
                to_do="Copy the lake whole, or let that club export again.",
            )
