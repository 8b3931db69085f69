"""The tiny invented club in a data folder, with settings and people."""

import shutil
from pathlib import Path

import pytest

from sql.club.file import club_file
from sql.folder import DataFolder
from tests.few_tables import without_comments  # noqa: F401
from tests.people import add_people
from tests.sql.old_backups import tiny_club

SIGNED_IN = """
insert into accounts (name, name_key, role, made_at) values ('Ivo', 'ivo', 'coordinator', '2026-03-20');
insert into web_sessions (token_sha256, session, account, made_at, seen_at, way)
values ('ab', 1, 1, '2026-03-20', '2026-03-20', 'password');
insert into trail (happened_at, account, name, event, about)
values ('2026-03-20', 1, 'Ivo', 'sign-in', 'an invented one');
"""


@pytest.fixture(scope="session")
def kept_club(tmp_path_factory: pytest.TempPathFactory) -> DataFolder:
    """The tiny club with settings of its own and one person, who is signed in. Only to be read, or copied."""
    folder = DataFolder(tmp_path_factory.mktemp("kept") / "club")
    folder.path.mkdir()
    folder.settings_file.write_text("covered_balls = 12\n", encoding="utf-8")
    tiny_club.fill(folder)
    with club_file(folder) as connection:
        connection.executescript(SIGNED_IN)
    return folder


@pytest.fixture
def club(kept_club: DataFolder, tmp_path: Path) -> DataFolder:
    """A copy of the tiny club."""
    return DataFolder(Path(shutil.copytree(kept_club.path, tmp_path / "club")))


@pytest.fixture
def folder(tmp_path: Path) -> DataFolder:
    """A club that has loaded nothing, with one person of every kind."""
    folder = DataFolder(tmp_path / "club")
    add_people(folder)
    return folder
