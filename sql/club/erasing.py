"""Forgetting a player in the club file: accounts, the audit trail, plans, and taps that are not in the log yet."""

import json
from dataclasses import replace

from sql.club.file import ClubConnection, ClubRow, all_or_nothing, club_file
from sql.folder import DataFolder, FolderProblem
from sql.person import Person

ERASED = "erased"

TEXTS = (
    ("trail", "entry", "about"),
    ("table_blocks", "block", "session"),
    ("table_blocks", "block", "described"),
    ("table_blocks", "block", "note"),
    ("table_blocks", "block", "told"),
    ("plans", "plan", "described"),
)
"""Where somebody may have written of somebody: table, key, column."""


def is_in_club_file(folder: DataFolder, player: str) -> bool:
    """An account, a tapped block, a plan or the trail names this code."""
    if not folder.club_file.exists():
        return False
    with club_file(folder) as connection:
        return any(
            connection.execute(f"select 1 from {table} where player = ? limit 1", [player]).fetchone()
            for table in ("account_players", "table_blocks", "plans", "trail")
        )


def account_names(folder: DataFolder, player: str) -> tuple[set[str], set[str]]:
    """The names that the player signs in with, and those of all others who sign in."""
    if not folder.club_file.exists():
        return set(), set()
    with club_file(folder) as connection:
        names = {row["name"] for row in connection.execute("select name from accounts").fetchall()}
        own = {row["name"] for row in _accounts_of(connection, player) if row["role"] == "player"}
    return own, names - own


def erase_words(folder: DataFolder, person: Person) -> None:
    """Remove the player's taps and plans, and the person from the trail; the accounts stay for now."""
    if not folder.club_file.exists():
        return
    with club_file(folder) as connection:
        with all_or_nothing(connection):
            _erase(connection, person)
        _leave_nothing_behind(folder, connection)


def forget_in_club_file(folder: DataFolder, person: Person) -> tuple[str, ...]:
    """Remove the player's accounts too; the names of accounts that stay with the name in theirs.

    A guardian who looks after nobody else loses theirs with the ward.
    """
    if not folder.club_file.exists():
        return ()
    with club_file(folder) as connection:
        with all_or_nothing(connection):
            _erase(connection, person)
            for account in _accounts_of(connection, person.code):
                connection.execute("delete from accounts where account = ?", [account["account"]])
            connection.execute("delete from account_players where player = ?", [person.code])
            left = [row["name"] for row in connection.execute("select name from accounts order by name").fetchall()]
        _leave_nothing_behind(folder, connection)
    alone = replace(person, others=frozenset())
    return tuple(name for name in left if alone.is_named_in(name))


def _accounts_of(connection: ClubConnection, player: str) -> list[ClubRow]:
    """Accounts that stand for this player alone: account, name, role."""
    rows = connection.execute(
        "select a.account, a.name, a.role from accounts as a join account_players as p on a.account = p.account"
        " where a.role in ('player', 'guardian') group by a.account, a.name, a.role"
        " having max(p.player) = ? and count(*) = 1",
        [player],
    )
    return rows.fetchall()


def _erase(connection: ClubConnection, person: Person) -> None:
    accounts = _accounts_of(connection, person.code)
    former = _names_of_former_accounts(connection, person)
    for account in accounts:
        connection.execute("update trail set name = ?, address = null where account = ?", [ERASED, account["account"]])
    for name in former:
        connection.execute("update trail set name = ?, address = null where name = ?", [ERASED, name])
    connection.execute("delete from table_blocks where player = ?", [person.code])
    connection.execute("delete from plans where player = ?", [person.code])
    connection.execute("update trail set player = ?, about = ? where player = ?", [ERASED, ERASED, person.code])
    names = former | {account["name"] for account in accounts}
    _erase_texts(connection, replace(person, words=person.words | names, others=person.others - names))


def _names_of_former_accounts(connection: ClubConnection, person: Person) -> set[str]:
    """Names in the trail without an account any more that are the person's, or stand in one entry with the person."""
    gone = connection.execute("select distinct name from trail where name not in (select name from accounts)")
    former = {row["name"] for row in gone.fetchall()} - {ERASED}
    told = [row["about"] for row in connection.execute("select distinct about from trail").fetchall()]
    of_person = [about for about in told if person.is_named_in(about)]
    return {name for name in former if person.is_named_in(name) or any(name in about for about in of_person)}


def _erase_texts(connection: ClubConnection, person: Person) -> None:
    for table, key, column in TEXTS:
        rows = connection.execute(f"select {key}, {column} from {table} where {column} is not null").fetchall()
        for row in rows:
            old = _unescaped(row[column]) if column == "described" else row[column]
            if person.is_named_in(old):
                new = person.without(old, ERASED)
                connection.execute(f"update {table} set {column} = ? where {key} = ?", [new, row[key]])


def _unescaped(text: str) -> str:
    return json.dumps(json.loads(text), ensure_ascii=False)


def _leave_nothing_behind(folder: DataFolder, connection: ClubConnection) -> None:
    """Freed pages and the write-ahead log would still hold the words. Raises FolderProblem."""
    connection.execute("vacuum")
    is_busy = connection.execute("pragma wal_checkpoint(truncate)").fetchone()[0]
    if is_busy:
        raise FolderProblem(
            f"{folder.club_file}: everything is erased, but another program reads the file without a pause, so that a "
            "copy may still stand beside it. Stop that program: the copy goes with it."
        )
