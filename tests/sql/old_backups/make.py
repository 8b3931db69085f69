"""Keep a backup as this version makes it, before a new migration is written.

`uv run python -m tests.sql.old_backups.make` fills the invented club of `tiny_club` and leaves the backup beside this
file, named for the last migration of the log and of the club file.
"""

import tempfile
from pathlib import Path

from sql.backup import back_up
from sql.club.file import club_file, now_utc
from sql.folder import DataFolder
from tests.sql.old_backups import tiny_club

HERE = Path(__file__).parent


def main() -> None:
    with tempfile.TemporaryDirectory() as temporary:
        folder = DataFolder(Path(temporary) / "club")
        tiny_club.fill(folder)
        with club_file(folder) as connection:
            account = ("Ivo", "ivo", "coordinator", now_utc())
            connection.execute("insert into accounts (name, name_key, role, made_at) values (?, ?, ?, ?)", account)
        draft = HERE / "draft.zip"
        manifest = back_up(folder, draft, replaces=True)
    file = draft.replace(HERE / f"log-{manifest.log_version}-club-{manifest.club_file_version}.zip")
    file.chmod(0o644)
    print(file)


if __name__ == "__main__":
    main()
