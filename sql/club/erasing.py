"""Forgetting a player in the club file: in every table as it is declared, and in whatever words name the player."""

import json
from collections.abc import Iterable, Iterator
from dataclasses import replace

from sql.club.declaration_check import declared_tables
from sql.club.declaring import ClubTable, Erasure, Holds
from sql.club.file import ClubConnection, ClubRow, all_or_nothing, club_file
from sql.club.seals import broken_seals, seal_all
from sql.folder import DataFolder, FolderProblem
from sql.person import Person

ERASED = "erased"


def is_in_club_file(folder: DataFolder, player: str) -> bool:
    """A row of any table names this code."""
    if not folder.club_file.exists():
        return False
    with club_file(folder) as connection:
        return any(
            connection.execute(f"select 1 from {table.name} where {table.player} = ? limit 1", [player]).fetchone()
            for table in declared_tables(connection)
            if table.player
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
    """Remove the player's rows, and the person from those that stay; the accounts wait for the end."""
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
            _delete_rows(connection, declared_tables(connection), Erasure.ROWS_LAST, person.code)
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
    is_whole = not any(broken_seals(connection))
    tables = declared_tables(connection)
    accounts = _accounts_of(connection, person.code)
    former = _names_of_former_accounts(connection, tables, person)
    _delete_rows(connection, tables, Erasure.ROWS, person.code)
    for table in tables:
        if table.erasure is Erasure.PERSON:
            for account in accounts:
                _without_doer(connection, table, Holds.ACCOUNT, account["account"])
            for name in former:
                _without_doer(connection, table, Holds.NAME, name)
            _without_player(connection, table, person.code)
    names = former | {account["name"] for account in accounts}
    _erase_texts(connection, tables, replace(person, words=person.words | names, others=person.others - names))
    if is_whole:  # A break that was there before is for `verify` to tell, and must not be sealed over.
        seal_all(connection)


def _delete_rows(connection: ClubConnection, tables: Iterable[ClubTable], erasure: Erasure, player: str) -> None:
    for table in tables:
        if table.erasure is erasure and table.player:
            connection.execute(f"delete from {table.name} where {table.player} = ?", [player])


def _without_doer(connection: ClubConnection, table: ClubTable, known_by: Holds, doer: int | str) -> None:
    """What was done stays, without by whom and from where."""
    nobody = [f"{name} = '{ERASED}'" for name in table.holding(Holds.NAME)]
    nobody += [f"{name} = null" for name in table.holding(Holds.ADDRESS)]
    for column in table.holding(known_by):
        connection.execute(f"update {table.name} set {', '.join(nobody)} where {column} = ?", [doer])


def _without_player(connection: ClubConnection, table: ClubTable, player: str) -> None:
    """What was done stays, without about whom."""
    columns = table.holding(Holds.PLAYER, Holds.WORDS)
    nobody = ", ".join(f"{name} = '{ERASED}'" for name in columns)
    connection.execute(f"update {table.name} set {nobody} where {table.player} = ?", [player])


def _names_of_former_accounts(connection: ClubConnection, tables: Iterable[ClubTable], person: Person) -> set[str]:
    """Names without an account any more that are the person's, or stand in one entry with the person."""
    former: set[str] = set()
    for table in tables:
        if table.erasure is Erasure.PERSON:
            texts = [text for column in table.holding(Holds.WORDS) for text in _values(connection, table, column)]
            of_person = [text for text in texts if person.is_named_in(text)]
            names = {name for column in table.holding(Holds.NAME) for name in _values(connection, table, column)}
            names -= {ERASED, *_names_of_accounts(connection)}
            former |= {name for name in names if person.is_named_in(name) or any(name in text for text in of_person)}
    return former


def _values(connection: ClubConnection, table: ClubTable, column: str) -> list[str]:
    rows = connection.execute(f"select distinct {column} from {table.name} where {column} is not null")
    return [value for (value,) in rows.fetchall()]


def _names_of_accounts(connection: ClubConnection) -> set[str]:
    return {name for (name,) in connection.execute("select name from accounts").fetchall()}


def _erase_texts(connection: ClubConnection, tables: Iterable[ClubTable], person: Person) -> None:
    for table in tables:
        for column in table.holding(Holds.WORDS, Holds.WORDS_IN_JSON):
            _erase_text(connection, table, column, person)


def _erase_text(connection: ClubConnection, table: ClubTable, column: str, person: Person) -> None:
    rows = connection.execute(f"select {table.key}, {column} from {table.name} where {column} is not null").fetchall()
    for key, text in rows:
        old = _unescaped(text) if table.columns[column] is Holds.WORDS_IN_JSON else text
        if person.is_named_in(old):
            new = person.without(old, ERASED)
            connection.execute(f"update {table.name} set {column} = ? where {table.key} = ?", [new, key])


def words_of_others(connection: ClubConnection, person: Person) -> Iterator[tuple[str, str]]:
    """Every text of the club file that is not on a row of the person's own, with its table and column."""
    for table in declared_tables(connection):
        of_others = f" and {table.player} is not ?" if table.player else " and ? is not null"
        for column in table.holding(Holds.WORDS, Holds.WORDS_IN_JSON):
            rows = connection.execute(
                f"select distinct {column} from {table.name} where {column} is not null{of_others}", [person.code]
            )
            is_json = table.columns[column] is Holds.WORDS_IN_JSON
            yield from ((f"{table.title}: {column}", _unescaped(text) if is_json else text) for (text,) in rows)


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
