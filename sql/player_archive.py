"""Everything that is stored of one player, as a zip of CSV files that any program reads."""

from collections.abc import Iterator
from io import BytesIO
from zipfile import ZIP_DEFLATED, ZipFile

import polars as pl

from sql.club_file import ClubConnection, club_file
from sql.folder import DataFolder, FolderProblem
from sql.holding import Say
from sql.warehouse import Connection, held, read_only, warehouse

READ_ME = "read-me.csv"

OF_A_PLAYER = (
    "select schema_name, table_name, column_name from duckdb_columns() where schema_name in ('log', 'core', 'report')"
    " and column_name in ('player', 'player_id', 'applies_to')"
    " and concat(schema_name, '.', table_name) in (select concat(schema_name, '.', table_name) from duckdb_tables())"
    " order by schema_name, table_name"
)

IN_CLUB_FILE = {
    "accounts": (
        "select a.account, a.name, a.role, a.issuer, a.subject, a.made_at from accounts as a"
        " join account_players as p on a.account = p.account where p.player = ?"
    ),
    "trail": "select happened_at, name, event, player, about, address from trail where player = ?",
    "table_blocks": "select * from table_blocks where player = ?",
    "taps": "select t.* from taps as t join table_blocks as b on t.block = b.block where b.player = ?",
}
"""What the club file holds of a player; no password, no token."""


def player_archive(folder: DataFolder, player: str, say: Say = lambda _: None) -> bytes:
    """The zip: what was logged (superseded and withdrawn lines too), what is derived, and what the club file holds.

    Raises FolderProblem where nothing is stored under this code, or the folder is busy.
    """
    tables = dict(_tables(folder, player, say))
    if not tables:
        raise FolderProblem(f"saw {player!r}, expected the code of a player in the log or with an account here.")
    stream = BytesIO()
    with ZipFile(stream, "w", ZIP_DEFLATED) as archive:
        archive.writestr(READ_ME, _contents(tables).write_csv())
        for name, rows in tables.items():
            archive.writestr(f"{name}.csv", rows.write_csv())
    return stream.getvalue()


def _tables(folder: DataFolder, player: str, say: Say) -> Iterator[tuple[str, pl.DataFrame]]:
    """Every table with rows of the player, by name."""
    with held(folder, say):
        with warehouse(folder) as connection:
            yield from _rows_of(connection, player)
        publication = folder.publication_in_force()
        if publication is not None and publication.exists():
            with read_only(publication) as connection:
                yield from _rows_of(connection, player)
    if folder.club_file.exists():
        with club_file(folder) as club:
            yield from _rows_in_club_file(club, player)


def _rows_of(connection: Connection, player: str) -> Iterator[tuple[str, pl.DataFrame]]:
    for schema, table, column in connection.execute(OF_A_PLAYER).fetchall():
        # A cursor, for the door of DuckDB 2 gives frames from relations alone.
        rows = connection.cursor().sql(f"select * from {schema}.{table} where {column} = $1", params=[player]).pl()
        if rows.height:
            yield f"{schema}.{table}", rows


def _rows_in_club_file(connection: ClubConnection, player: str) -> Iterator[tuple[str, pl.DataFrame]]:
    for table, question in IN_CLUB_FILE.items():
        rows = [dict(row) for row in connection.execute(question, [player]).fetchall()]
        if rows:
            yield f"club.{table}", pl.DataFrame(rows, infer_schema_length=None)


def _contents(tables: dict[str, pl.DataFrame]) -> pl.DataFrame:
    return pl.DataFrame(
        [{"file": f"{name}.csv", "rows": rows.height, "what": _what(name)} for name, rows in tables.items()]
    )


def _what(name: str) -> str:
    told = {
        "log": "what was written down, line by line, with the batch that brought it",
        "core": "the same in order, one row per thing of the trade",
        "report": "what was derived from it",
        "club": "accounts, the trail of what was done, and taps at the table",
    }
    return told[name.split(".", maxsplit=1)[0]]
