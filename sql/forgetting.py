"""Forgetting a player: afterwards no file of the data folder holds the code or the name.

The log's lines of the player are either deleted, or kept without a person: under a code that says nothing, without
name, group, birth year, level, dates and notes. Where others' lines name the player, those words go.
"""

import re
from dataclasses import dataclass
from pathlib import Path

import duckdb

from sql.build import Progress, build
from sql.digests import note_digest
from sql.disk import disk_told, flush
from sql.folder import DataFolder, FolderProblem
from sql.forgetting_in_club_file import forget_in_club_file, is_in_club_file
from sql.holding import Say, owe_publication
from sql.made_backups import made_backups
from sql.warehouse import Connection, held, utc_now, warehouse

PERSONAL = ("name", "group", "birth_year", "level", "joined_on", "consent_on", "active")
"""What the players log holds of a person beside the code; the hand is kept, for without it no side of the table."""

LEFT_ALONE = ("club_id", "kind", "source", "file_sha256", "mends")
"""Columns that no text of a person can stand in."""


@dataclass(frozen=True)
class Forgotten:
    """What was done: lines of the player changed or deleted, and the backups that still hold the person."""

    code: str | None
    """The code that says nothing, where the lines are kept."""
    lines: int
    backups: tuple[Path, ...]


@dataclass(frozen=True)
class _Person:
    """Whom to forget: the code, and every name that the players log ever gave."""

    code: str
    names: tuple[str, ...]

    @property
    def pattern(self) -> str:
        """Finds the code or a name as a word of its own, in capitals or not."""
        words = "|".join(re.escape(word) for word in (self.code, *self.names))
        return rf"(?i)(^|[^\p{{L}}\p{{N}}])({words})($|[^\p{{L}}\p{{N}}])"


def forget(
    folder: DataFolder,
    player: str,
    *,
    keeps_lines: bool,
    say: Say = lambda _: None,
    progress: Progress = lambda *_: None,
) -> Forgotten:
    """Forget a player, publish anew, and remove the publications from before.

    May be given again after it was cut off. Raises FolderProblem where nobody has this code, or the folder is busy.
    """
    with held(folder, say):
        person, codes = _find(folder, player)
        code = _free_code(codes) if keeps_lines else None
        forget_in_club_file(folder, person.code, person.names)
        folder.published.mkdir(exist_ok=True)
        folder.erased_file.touch()
        owe_publication(folder)
        lines = _erase_from_log(folder, person, code)
        build(folder, progress)
    return Forgotten(code, lines, tuple(made.file for made in made_backups(folder)))


def _find(folder: DataFolder, player: str) -> tuple[_Person, set[str]]:
    with warehouse(folder) as connection:
        rows = connection.execute("select player, name from log.players").fetchall()
    codes = {code for code, _ in rows}
    if player not in codes and not is_in_club_file(folder, player):
        raise FolderProblem(f"saw {player!r}, expected the code of a player in the log or with an account here.")
    return _Person(player, tuple(sorted({name for code, name in rows if code == player and name}))), codes


def _free_code(codes: set[str]) -> str:
    return next(code for number in range(1, len(codes) + 2) if (code := f"gone-{number}") not in codes)


def _erase_from_log(folder: DataFolder, person: _Person, code: str | None) -> int:
    """Write the warehouse anew without the person; freed pages of the old file would still hold the words."""
    draft = folder.path / "draft.duckdb"
    draft.unlink(missing_ok=True)
    try:
        with disk_told(folder.path), duckdb.connect() as connection:
            connection.execute(f"attach {_quoted(folder.warehouse_file)} as old (read_only)")
            connection.execute("copy from database old to memory")
            connection.execute("detach old")
            lines = _erase(connection, person, code)
            connection.execute(f"attach {_quoted(draft)} as draft")
            connection.execute("copy from database memory to draft")
            connection.execute("detach draft")
            flush(draft)
            note_digest(folder.warehouse_file, written_at=draft)
            draft.replace(folder.warehouse_file)
            flush(folder.path)
    finally:
        draft.unlink(missing_ok=True)
    return lines


def _quoted(file: Path) -> str:
    return "'" + str(file).replace("'", "''") + "'"


def _erase(connection: Connection, person: _Person, code: str | None) -> int:
    lines = sum(_own_lines(connection, table, column, person, code) for table, column in _own_tables(connection))
    _erase_refusals(connection, person)
    for table, column, is_nullable in _texts(connection):
        _erase_words(connection, table, column, person, None if is_nullable else (code or "gone"))
    connection.execute(
        "update log.batches set erased_at = ? where exists (select 1 from log.checksums_now as n join log.checksums as c"
        " on n.club_id = c.club_id and n.batch = c.batch where n.club_id = batches.club_id and n.batch = batches.batch"
        " and n.stored_sha256 <> c.stored_sha256)",
        [utc_now()],
    )
    connection.execute(
        "update log.checksums set stored_sha256 = n.stored_sha256, lines = n.lines, refused_lines = n.refused_lines"
        " from log.checksums_now as n where n.club_id = checksums.club_id and n.batch = checksums.batch"
    )
    return lines


def _own_tables(connection: Connection) -> list[tuple[str, str]]:
    """The tables whose lines are of one player, each with the column that says of whom."""
    found = connection.execute(
        "select table_name, column_name from duckdb_columns() where schema_name = 'log'"
        " and column_name in ('player', 'applies_to') and table_name in (select table_name from duckdb_tables())"
        " order by table_name"
    )
    return found.fetchall()


def _own_lines(connection: Connection, table: str, column: str, person: _Person, code: str | None) -> int:
    count = connection.execute(f"select count(*) from log.{table} where {column} = ?", [person.code]).fetchall()[0][0]
    if code is None:
        connection.execute(f"delete from log.{table} where {column} = ?", [person.code])
        return int(count)
    emptied = [name for name in (*PERSONAL, "note") if name in _columns(connection, table)]
    if table == "players":
        connection.execute("update log.players set active = false where player = ?", [person.code])
        emptied.remove("active")
    sets = ", ".join([f"{column} = $code", *(f'"{name}" = null' for name in emptied)])
    connection.execute(f"update log.{table} set {sets} where {column} = $player", {"code": code, "player": person.code})
    return int(count)


def _columns(connection: Connection, table: str) -> set[str]:
    return {row[0] for row in connection.execute(f"describe log.{table}").fetchall()}


def _erase_refusals(connection: Connection, person: _Person) -> None:
    """A refused line that names the person is emptied whole: its other cells are the person's too."""
    connection.execute(
        "update log.refusals set cells = '[]', seen = 'erased' where regexp_matches(concat(cells, ' ', seen), ?)",
        [person.pattern],
    )


def _texts(connection: Connection) -> list[tuple[str, str, bool]]:
    """Every column of the log that holds words, and whether it may be empty."""
    found = connection.execute(
        "select table_name, column_name, is_nullable from duckdb_columns() where schema_name = 'log'"
        " and data_type = 'VARCHAR' and table_name in (select table_name from duckdb_tables())"
        f" and column_name not in {LEFT_ALONE} and table_name not in ('checksums', 'migrations')"
        " order by table_name, column_name"
    )
    return found.fetchall()


def _erase_words(connection: Connection, table: str, column: str, person: _Person, instead: str | None) -> None:
    """A text that may be empty becomes so; of another only the words of the person go."""
    new = "null" if instead is None else f"regexp_replace(\"{column}\", $pattern, '\\1' || $instead || '\\3', 'g')"
    values = {"pattern": person.pattern} | ({"instead": instead} if instead is not None else {})
    connection.execute(f'update log.{table} set "{column}" = {new} where regexp_matches("{column}", $pattern)', values)
