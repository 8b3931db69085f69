"""Forgetting a player in the club file: accounts, the audit trail, and taps that are not in the log yet."""

import re
from collections.abc import Sequence

from sql.club_file import ClubConnection, all_or_nothing, club_file
from sql.folder import DataFolder

ERASED = "erased"


def is_in_club_file(folder: DataFolder, player: str) -> bool:
    """An account, a tapped block or the trail names this code."""
    if not folder.club_file.exists():
        return False
    with club_file(folder) as connection:
        return any(
            connection.execute(f"select 1 from {table} where player = ? limit 1", [player]).fetchone()
            for table in ("account_players", "table_blocks", "trail")
        )


def forget_in_club_file(folder: DataFolder, player: str, names: Sequence[str]) -> None:
    """Remove the player's account and taps, and the words in the trail; nobody loses another account.

    A guardian who looks after nobody else loses theirs with the ward.
    """
    if not folder.club_file.exists():
        return
    with club_file(folder) as connection:
        with all_or_nothing(connection):
            accounts = _accounts_of(connection, player)
            for account, name in accounts:
                connection.execute("delete from accounts where account = ?", [account])
                connection.execute("update trail set name = ?, address = null where account = ?", [ERASED, account])
                connection.execute("update trail set name = ? where name = ?", [ERASED, name])
            connection.execute("delete from account_players where player = ?", [player])
            connection.execute("delete from table_blocks where player = ?", [player])
            connection.execute("update trail set player = ?, about = ? where player = ?", [ERASED, ERASED, player])
            _erase_words(connection, [player, *names, *(name for _, name in accounts)])
        # Freed pages and the write-ahead log would still hold the words.
        connection.execute("vacuum")
        connection.execute("pragma wal_checkpoint(truncate)")


def _accounts_of(connection: ClubConnection, player: str) -> list[tuple[int, str]]:
    """Accounts that stand for this player alone."""
    rows = connection.execute(
        "select a.account, a.name from accounts as a join account_players as p on a.account = p.account"
        " where a.role in ('player', 'guardian') group by a.account, a.name having max(p.player) = ? and count(*) = 1",
        [player],
    )
    return [(row["account"], row["name"]) for row in rows.fetchall()]


def _erase_words(connection: ClubConnection, words: Sequence[str]) -> None:
    """Texts of the trail and of others' blocks that name the person lose those words."""
    found = re.compile(rf"(?<!\w)({'|'.join(map(re.escape, words))})(?!\w)", re.IGNORECASE)
    for table, key, column in (("trail", "entry", "about"), ("table_blocks", "block", "note")):
        rows = connection.execute(f"select {key}, {column} from {table} where {column} is not null").fetchall()
        for row in rows:
            if found.search(row[column]):
                new = found.sub(ERASED, row[column])
                connection.execute(f"update {table} set {column} = ? where {key} = ?", [new, row[key]])
