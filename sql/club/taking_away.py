"""What the club file holds of one player, table by table, for the player to take away; no password, no token."""

from collections.abc import Iterator
from typing import Any

from sql.club import declared
from sql.club.declaration_check import declared_tables
from sql.club.file import ClubConnection


def rows_of_player(connection: ClubConnection, player: str) -> Iterator[tuple[str, list[dict[str, Any]]]]:
    """Every table with rows of the player, by name."""
    for table in declared_tables(connection):
        if question := table.question:
            rows = [dict(row) for row in connection.execute(question, {"player": player}).fetchall()]
            if rows:
                yield table.name, rows


def titles() -> dict[str, str]:
    """What each table of the club file holds, in words for the player."""
    return {table.name: table.title for table in declared.TABLES}
