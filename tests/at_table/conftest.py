"""A small club with accounts, and who counts in it."""

import shutil
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from ingest.loading import load
from models.permits import Role
from sql.club import accounts
from sql.club.file import ClubConnection, club_file
from sql.club.taps import Scorer
from sql.folder import DataFolder
from tests.conftest import MadeOnce
from tests.dashboard.conftest import SMALL_CLUB, incoming

TODAY = date(2025, 3, 12)

MORE_PLAYERS = """\
EVA,Eva Noor,left,Seniors,2024-09-02,yes
FIN,Fin Holt,right,Seniors,2024-09-02,yes
GUS,Gus Berg,right,Seniors,2024-09-02,yes
HAL,Hal Iyer,right,Seniors,2024-09-02,yes
IDA,Ida Juhl,right,Seniors,2024-09-02,yes
JAN,Jan Kohl,right,Seniors,2024-09-02,yes
KAI,Kai Lund,right,Seniors,2024-09-02,yes
LEO,Leo Mann,right,Seniors,2024-09-02,yes
"""
"""So that each test in the hall has a player of its own."""


@pytest.fixture(scope="session")
def built_club(made_once: MadeOnce) -> DataFolder:
    """The small club with more players, loaded and published once; tests work on copies."""
    files = SMALL_CLUB | {"players.csv": SMALL_CLUB["players.csv"] + MORE_PLAYERS}
    return made_once("with-more-players", lambda folder: load(folder, incoming(files), "test", today=TODAY))


@pytest.fixture
def club(built_club: DataFolder, tmp_path: Path) -> DataFolder:
    """A copy of the small club, with its accounts."""
    folder = DataFolder(tmp_path / "club")
    shutil.copytree(built_club.path, folder.path)
    with club_file(folder) as connection:
        add_accounts(connection)
    return folder


@pytest.fixture
def file(tmp_path: Path) -> Iterator[ClubConnection]:
    """An open club file with accounts, in a folder where nothing was ever loaded."""
    with club_file(DataFolder(tmp_path / "no-log")) as connection:
        add_accounts(connection)
        yield connection


def add_accounts(connection: ClubConnection) -> None:
    """A coach of the juniors (1), a coach of everybody (2), a coordinator (3)."""
    accounts.add(connection, "M. Roe", Role.COACH, groups=["Juniors"])
    accounts.add(connection, "S. Bell", Role.COACH, groups=["*"])
    accounts.add(connection, "Kim Day", Role.COORDINATOR)


def _juniors_only(player: str) -> bool:
    return player in ("ADA", "BEN")


@pytest.fixture
def coach() -> Scorer:
    """Trains the juniors."""
    return Scorer(1, _juniors_only, is_coordinator=False)


@pytest.fixture
def other_coach() -> Scorer:
    """Trains everybody."""
    return Scorer(2, lambda _: True, is_coordinator=False)


@pytest.fixture
def coordinator() -> Scorer:
    """Looks after everybody."""
    return Scorer(3, lambda _: True, is_coordinator=True)
