"""The trail's chain: the seal of an entry is a hash of the seal before it and of all that the entry says.

So an entry that was changed, taken out or put in by another program is told by `verify`. Whoever can write the file and
knows this code can make the chain anew: a log collector that was given the entries (`account trail --format json`)
would still tell the difference.
"""

import json
from collections.abc import Iterable, Iterator
from hashlib import sha256

from sql.club.file import ClubConnection, ClubRow

SEALED = ("entry", "happened_at", "account", "name", "event", "player", "about", "address", "kind", "times", "last_at")


def seal_from(connection: ClubConnection, entry: int) -> None:
    """Seal this entry and those after it; all of them, where none was sealed yet."""
    if not connection.execute("select 1 from trail where seal is not null limit 1").fetchone():
        return seal_all(connection)
    before = connection.execute(
        "select seal from trail where entry < ? order by entry desc limit 1", [entry]
    ).fetchone()
    rows = connection.execute("select * from trail where entry >= ? order by entry", [entry]).fetchall()
    return _seal(connection, rows, (before and before[0]) or "")


def seal_all(connection: ClubConnection) -> None:
    """Seal every entry anew, after a change that is meant: an erasure, or the removal of what is old."""
    rows = connection.execute("select * from trail order by entry").fetchall()
    _seal(connection, rows, "")


def _seal(connection: ClubConnection, rows: Iterable[ClubRow], before: str) -> None:
    connection.executemany("update trail set seal = ? where entry = ?", [*_sealed(rows, before)])


def broken_seals(connection: ClubConnection) -> Iterator[str]:
    """What was changed in the trail by another program, each in a sentence."""
    rows = connection.execute("select * from trail order by entry").fetchall()
    if rows and not any(row["seal"] for row in rows):
        return  # From before there were seals: the next entry seals them all.
    for row, (seal, _) in zip(rows, _sealed(rows, "", uses_stored=True), strict=True):
        if row["seal"] != seal:
            yield f"the trail was changed by another program, or has a gap before entry {row['entry']}"
            return
    last = connection.execute("select seq from sqlite_sequence where name = 'trail'").fetchone()
    latest = rows[-1]["entry"] if rows else 0
    if last and last[0] != latest:
        yield f"the trail's latest entries, {latest + 1} to {last[0]}, were taken out by another program"


def _sealed(rows: Iterable[ClubRow], before: str, *, uses_stored: bool = False) -> Iterator[tuple[str, int]]:
    """The seal of each entry with its number; `uses_stored`: after the seals as they stand, not as they should."""
    for row in rows:
        content = json.dumps([before, *(row[column] for column in SEALED)], ensure_ascii=False)
        seal = sha256(content.encode()).hexdigest()
        yield seal, row["entry"]
        before = (row["seal"] or "") if uses_stored else seal
