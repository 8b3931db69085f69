"""What the ingest tests share: a small club as files, and readings made of plain rows."""

import shutil
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path

import polars as pl
import pytest

from ingest.loading import Incoming, Report, load
from ingest.reading import Reading
from ingest.taken import Taken
from models.records import RECORDS, columns_of
from sql.folder import DataFolder
from tests.conftest import MadeOnce
from tests.few_tables import without_comments  # noqa: F401

TODAY = date(2026, 11, 25)

PLAYERS = "player,name,handedness,group\nP1,Ada Lind,right,Juniors\nP2,Bo Ek,left,Juniors\nP3,Cy Oda,right,Club\n"
SETUPS = "setup,x_cm,y_cm,valid_from\nBC,-20,0,\nMR,60,50,2026-03-01\n"
TARGETS = (
    "target,applies_to,dimension,value,share\nt,*,depth,back,1\nt,*,depth,middle,1\n"
    "t,*,spin_family,backspin,1\nt,*,spin_family,topspin,1\n"
)


def csv_file(name: str, text: str) -> Incoming:
    return Incoming(name, text.encode())


BASICS = (csv_file("players.csv", PLAYERS), csv_file("setups.csv", SETUPS), csv_file("targets.csv", TARGETS))


def reading_of(kind: str, rows: Sequence[dict[str, str | None]]) -> Reading:
    """A reading whose plain cells are the given rows; a column that a row does not name is empty."""
    names = [column.name for column in columns_of(RECORDS[kind])]
    cells = [[row.get(name) for name in names] for row in rows]
    schema = {"line": pl.Int64, **dict.fromkeys(names, pl.String), "mends": pl.String}
    lines = [[number, *values, None] for number, values in enumerate(cells, start=2)]
    taken = Taken(f"{kind}.csv", "0" * 64, kind, "csv", "UTF-8", "comma", "point", "year first", None, 1, ())
    frame = pl.DataFrame(lines, schema=schema, orient="row")
    return Reading(taken, frame, tuple(names), frame.drop("mends"), ())


@pytest.fixture(scope="session")
def folder_with_basics(made_once: MadeOnce) -> DataFolder:
    """Players, setups and a target are loaded and published, as batches 1 to 3. Only to be copied."""
    return made_once("with-basics", lambda folder: load(folder, BASICS, "tester", today=TODAY))


@pytest.fixture
def folder(tmp_path: Path, folder_with_basics: DataFolder) -> DataFolder:
    """A club with players, setups and a target, and no log yet."""
    shutil.copytree(folder_with_basics.path, tmp_path / "club")
    return DataFolder(tmp_path / "club")


@pytest.fixture
def empty_folder(tmp_path: Path) -> DataFolder:
    return DataFolder(tmp_path / "nothing")


@pytest.fixture
def load_files(folder: DataFolder) -> Callable[..., list[Report]]:
    def load_them(*files: Incoming) -> list[Report]:
        return load(folder, files, "tester", today=TODAY)

    return load_them
