"""Forgetting a player in the log: the warehouse is written anew without the person.

The player's lines are deleted, or kept without a person; where others' lines name the player, those words go.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import duckdb
import polars as pl

from models.records import RECORDS, columns_of
from models.shapes import Code, OneOf
from sql.checksums import checksums_now
from sql.folder import DataFolder
from sql.literals import literal
from sql.person import Person
from sql.refusals_of_player import refused_cells
from sql.rewriting import replace_warehouse
from sql.warehouse import Connection, utc_now

ERASED = "erased"

PERSONAL = ("name", "group", "birth_year", "level", "joined_on", "consent_on", "note")
"""What a player's lines hold of a person beside the code; the hand is kept, for without it no side of the table."""

OF_PLAYERS = ("player", "applies_to")
"""Columns that say of whom a line is. The code stands there alone, and another's code may begin with it."""

TECHNICAL = ("club_id", "kind", "source", "file_sha256", "mends")

_COLUMNS = [column for record in RECORDS.values() for column in columns_of(record)]
OF_WORD_LISTS = tuple({column.name for column in _COLUMNS if isinstance(column.shape, OneOf)})
OF_CODES = frozenset(column.name for column in _COLUMNS if isinstance(column.shape, Code))


def erase_from_log(folder: DataFolder, person: Person, code: str | None) -> int:
    """Keep the player's lines under this code, or delete them where it is None; how many they were.

    Only under the lock. Freed pages of the old file would still hold the words, so another takes its place.
    """
    return replace_warehouse(folder, lambda draft: _write_without(folder, draft, person, code))


def _write_without(folder: DataFolder, draft: Path, person: Person, code: str | None) -> int:
    with duckdb.connect() as connection:
        connection.execute(f"attach {literal(folder.warehouse_file)} as old (read_only)")
        connection.execute("copy from database old to memory")
        connection.execute("detach old")
        lines = _erase(connection, person, code)
        connection.execute(f"attach {literal(draft)} as draft")
        connection.execute("copy from database memory to draft")
        connection.execute("detach draft")
    return lines


def _erase(connection: Connection, person: Person, code: str | None) -> int:
    lines = sum(_own_lines(connection, table, column, person, code) for table, column in _own_tables(connection))
    _erase_refusals(connection, person)
    for text in _texts(connection):
        _erase_words(connection, text, person, code or ERASED)
    _note_erasure(connection)
    return lines


def _note_erasure(connection: Connection) -> None:
    """Mark the batches in which something was erased, and keep what is stored of them now as their checksums."""
    connection.register("checksums_now", checksums_now(connection))
    connection.execute(
        "update log.batches set erased_at = ? where exists ("
        "select 1 from checksums_now as n join log.checksums as c on n.club_id = c.club_id and n.batch = c.batch"
        " where n.club_id = batches.club_id and n.batch = batches.batch and n.stored_sha256 <> c.stored_sha256)",
        [utc_now()],
    )
    connection.execute(
        "update log.checksums set stored_sha256 = n.stored_sha256, lines = n.lines, refused_lines = n.refused_lines"
        " from checksums_now as n where n.club_id = checksums.club_id and n.batch = checksums.batch"
    )
    connection.unregister("checksums_now")


def _own_tables(connection: Connection) -> list[tuple[str, str]]:
    """The tables whose lines are of one player, each with the column that says of whom."""
    found = connection.execute(
        "select table_name, column_name from duckdb_columns() where schema_name = 'log'"
        f" and column_name in {OF_PLAYERS} and table_name in (select table_name from duckdb_tables())"
        " order by table_name"
    )
    return found.fetchall()


def _own_lines(connection: Connection, table: str, column: str, person: Person, code: str | None) -> int:
    is_own = f"where {column} = $player"
    if column == "applies_to":  # A target for everybody, or for a group that is called like the player, is not theirs.
        is_own += " and applies_to <> '*' and applies_to not in (select coalesce(\"group\", '*') from log.players)"
    player = {"player": person.code}
    count = connection.execute(f"select count(*) from log.{table} {is_own}", player).fetchall()[0][0]
    if code is None:
        connection.execute(f"delete from log.{table} {is_own}", player)
        return int(count)
    columns = {row[0] for row in connection.execute(f"describe log.{table}").fetchall()}
    sets = [f"{column} = $code", *(f'"{name}" = null' for name in PERSONAL if name in columns)]
    if table == "players":
        sets.append("active = false")
    connection.execute(f"update log.{table} set {', '.join(sets)} {is_own}", {"code": code} | player)
    return int(count)


def _erase_refusals(connection: Connection, person: Person) -> None:
    """A refused line that is the person's, or names them, is emptied whole: its other cells are the person's too."""
    seen = connection.execute("select batch, line, seen from log.refusals").fetchall()
    lines = {(batch, line) for batch, line, text in seen if person.is_named_in(text)}
    # Together too: the parts of a name may stand in cells of their own.
    lines |= {
        (refused.batch, refused.line)
        for refused in refused_cells(connection)
        if refused.is_of(person.code) or person.is_named_in(" ".join(refused.cells))
    }
    if not lines:
        return
    connection.register("to_empty", pl.DataFrame(sorted(lines), schema=["batch", "line"], orient="row"))
    connection.execute(
        f"update log.refusals set cells = '[]', seen = '{ERASED}' from to_empty as e"
        " where refusals.batch = e.batch and refusals.line = e.line"
    )
    connection.unregister("to_empty")


def texts_of_others(connection: Connection, person: Person) -> Iterator[tuple[str, str]]:
    """Every text that is not on a line of the person's own, with its table and column."""
    own = dict(_own_tables(connection))
    for text in _texts(connection):
        if (text.table, text.column) == ("refusals", "cells"):  # Below, line by line.
            continue
        of_others = f"where {own[text.table]} <> $player" if text.table in own else "where $player is not null"
        rows = connection.execute(
            f'select distinct "{text.column}" from log.{text.table} {of_others}', {"player": person.code}
        )
        yield from ((f"{text.table}: {text.column}", value) for (value,) in rows.fetchall() if value)
    for refused in refused_cells(connection):
        if not refused.is_of(person.code):
            yield "a refused line", " ".join(refused.cells)


@dataclass(frozen=True)
class _Text:
    """A column of words; whether a text that names the person becomes empty, or only loses those words."""

    table: str
    column: str
    becomes_empty: bool


def _texts(connection: Connection) -> Iterator[_Text]:
    """Every column of the log in which somebody may have written of somebody."""
    found = connection.execute(
        "select table_name, column_name, is_nullable from duckdb_columns() where schema_name = 'log'"
        " and data_type = 'VARCHAR' and table_name in (select table_name from duckdb_tables())"
        f" and column_name not in {OF_PLAYERS + TECHNICAL + OF_WORD_LISTS}"
        " and table_name not in ('checksums', 'migrations') order by table_name, column_name"
    )
    for table, column, is_nullable in found.fetchall():
        # A code stands in several tables, which must stay of one mind about it.
        yield _Text(table, column, is_nullable and column not in OF_CODES)


def _erase_words(connection: Connection, text: _Text, person: Person, instead: str) -> None:
    place = f'log.{text.table} set "{text.column}" = ? where "{text.column}" = ?'
    found = connection.execute(f'select distinct "{text.column}" from log.{text.table}').fetchall()
    for old in (value for (value,) in found if value is not None and person.is_named_in(value)):
        new = None if text.becomes_empty else person.without(old, instead)
        connection.execute(f"update {place}", [new, old])
