"""The declared tables of the club file, once the file has no others: so nothing new can be forgotten.

Migration, check, erasure, restore and what a player takes away ask `declared_tables`, which fails where the file has a
table or a column that is not declared.
"""

import sqlite3

from sql.club import declared
from sql.club.declaring import ClubTable, Erasure, Holds
from sql.folder import FolderProblem


class Undeclared(FolderProblem):
    """The club file is not as declared, or a declaration does not say enough. No version of ours makes such a file."""


def declared_tables(connection: sqlite3.Connection) -> tuple[ClubTable, ...]:
    """Every table of this file with what it holds. Raises Undeclared where one is not declared, or not as it is."""
    found = columns_of(connection)
    known = {table.name: set(table.columns) for table in declared.TABLES}
    for name in found.keys() | known.keys():
        if found.get(name) != known.get(name):
            raise Undeclared(
                f"{name}: the club file has the columns {sorted(found.get(name, ()))}, and sql/club/declared.py "
                f"declares {sorted(known.get(name, ()))}. Say there what each holds, and of whom."
            )
    for table in declared.TABLES:
        _require_enough(connection, table)
    return declared.TABLES


def columns_of(connection: sqlite3.Connection) -> dict[str, set[str]]:
    """The columns of each table of this file, SQLite's own tables left out."""
    rows = connection.execute(
        "select t.name, c.name from sqlite_schema as t join pragma_table_info(t.name) as c"
        " where t.type = 'table' and t.name not like 'sqlite_%'"
    )
    found: dict[str, set[str]] = {}
    for table, column in rows.fetchall():
        found.setdefault(table, set()).add(column)
    return found


def _require_enough(connection: sqlite3.Connection, table: ClubTable) -> None:
    """Raises Undeclared where rows of a person would be left over, or kept from them without a reason."""
    is_by_player = table.erasure in (Erasure.ROWS, Erasure.ROWS_LAST, Erasure.PERSON)
    if is_by_player and not table.player:
        raise Undeclared(f"{table.name}: an erasure could not tell whose rows these are.")
    if table.player and not is_by_player:
        raise Undeclared(f"{table.name}.{table.player} holds a player, whom an erasure would leave there.")
    if table.erasure is Erasure.WITH_PARENT and not _is_cascading(connection, table.name):
        raise Undeclared(f"{table.name}: its rows go with no row of another table.")
    if table.holding(Holds.ACCOUNT, Holds.NAME) and table.erasure is Erasure.NOTHING:
        raise Undeclared(f"{table.name} holds somebody who signs in, whom an erasure would leave there.")
    if not table.question and not table.not_taken_away:
        raise Undeclared(f"{table.name}: say what of it a player takes away, or why nothing.")


def _is_cascading(connection: sqlite3.Connection, table: str) -> bool:
    rows = connection.execute("select on_delete from pragma_foreign_key_list(?)", [table]).fetchall()
    return any(on_delete.casefold() == "cascade" for (on_delete,) in rows)
