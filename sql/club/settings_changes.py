"""Changes of the club's settings, each with what stood there before, so that it can be taken back."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sql.club.file import ClubConnection, now_utc

Values = Mapping[str, Any]
"""Settings as the file has them; None: the file does not name it, and the one to begin with holds."""


@dataclass(frozen=True)
class SettingsChange:
    """One change; the time in UTC as text. Who made it stands in the trail."""

    change: int
    changed_at: str
    before: Values
    after: Values
    is_taken_back: bool


def note_change(connection: ClubConnection, before: Values, after: Values) -> int:
    """Keep a change; its number."""
    made = connection.execute(
        "insert into settings_changes (changed_at, before, after) values (?, ?, ?)",
        [now_utc(), json.dumps(before), json.dumps(after)],
    )
    return int(made.lastrowid or 0)


def changes(connection: ClubConnection) -> tuple[SettingsChange, ...]:
    """Every change, the first one first."""
    rows = connection.execute("select * from settings_changes order by change")
    return tuple(
        SettingsChange(
            row["change"],
            row["changed_at"],
            json.loads(row["before"]),
            json.loads(row["after"]),
            row["taken_back_at"] is not None,
        )
        for row in rows.fetchall()
    )


def mark_taken_back(connection: ClubConnection, change: int) -> None:
    """From now on the change does not count."""
    connection.execute("update settings_changes set taken_back_at = ? where change = ?", [now_utc(), change])


def without(every: tuple[SettingsChange, ...], change: int) -> dict[str, Any]:
    """What its settings are once a change is taken back: of each what the latest change that counts says, or none did.

    A later change of the same setting stays as it is.
    """
    (taken,) = [one for one in every if one.change == change]
    values = {}
    for name in taken.after:
        naming = [one for one in every if name in one.after]
        counting = [one for one in naming if not one.is_taken_back and one.change != change]
        values[name] = counting[-1].after[name] if counting else naming[0].before[name]
    return values
