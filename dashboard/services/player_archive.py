"""Everything that is stored of one player, as a zip of CSV files that any program reads."""

from io import BytesIO
from zipfile import ZIP_DEFLATED, ZipFile

import polars as pl

from ingest.csv_out import harmless_texts
from sql.club.taking_away import titles
from sql.folder import DataFolder
from sql.holding import Say
from sql.stored_of_player import stored_of_player

READ_ME = "read-me.csv"

WHAT = {
    "log": "what was written down, line by line, with the batch that brought it",
    "core": "the same in order, one row per thing of the trade",
    "report": "what was derived from it",
}


def player_archive(folder: DataFolder, player: str, say: Say = lambda _: None) -> bytes:
    """The zip: one file for each table with rows of the player, and one that lists them.

    Raises NobodyStored, or FolderProblem where the folder is busy.
    """
    tables = stored_of_player(folder, player, say)
    stream = BytesIO()
    with ZipFile(stream, "w", ZIP_DEFLATED) as archive:
        archive.writestr(READ_ME, _contents(tables).write_csv())
        for name, rows in tables.items():
            archive.writestr(f"{name}.csv", harmless_texts(rows).write_csv())
    return stream.getvalue()


def _contents(tables: dict[str, pl.DataFrame]) -> pl.DataFrame:
    what = WHAT | {f"club.{table}": title for table, title in titles().items()}
    rows = [
        {"file": f"{name}.csv", "rows": table.height, "what": what.get(name) or what[name.split(".")[0]]}
        for name, table in tables.items()
    ]
    return pl.DataFrame(rows)
