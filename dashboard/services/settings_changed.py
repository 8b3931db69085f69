"""The club's settings changed on somebody's behalf: tried first, kept with what stood before, and taken back."""

from collections.abc import Callable, Mapping
from typing import Any

from dashboard.questions import Desk
from dashboard.services.as_of_now import require_keeper_now
from models.permits import require_keeper
from sql.build import build, is_current
from sql.club import settings_changes as stored
from sql.club.audit_trail import Event, entries, record
from sql.club.file import club_file
from sql.club.settings_changes import SettingsChange
from sql.settings_file import checked, named_in_file, write_settings
from sql.trial import rows_otherwise
from sql.warehouse import held, warehouse

SHOWN, LOOKED_THROUGH = 8, 100
OVER = "You may not change settings (any more). Nothing was changed."

Values = Mapping[str, Any]
Say = Callable[[str], None]


def change(desk: Desk, values: Values, *, say: Say = lambda _: None) -> int:
    """Set these; None is the one to begin with. The number of the change.

    Raises SettingsRefused, FolderProblem, BuildFailed; NotPermitted also where it is over for whoever began.
    """
    with held(desk.folder, say):
        with club_file(desk.folder) as connection:
            require_keeper_now(connection, desk.reader, OVER)
        named = named_in_file(desk.folder)
        before = {name: named.get(name) for name in values}
        write_settings(desk.folder, values)
        with club_file(desk.folder) as connection:
            number = stored.note_change(connection, before, values)
            record(connection, Event.SETTINGS, f"change {number}: {_told(before, values)}", reader=desk.reader)
        _publish(desk)
    return number


def rows_changed(desk: Desk, values: Values, *, say: Say = lambda _: None) -> dict[str, int]:
    """How many rows of each report would be others; none where nothing is published. Raises what `change` does."""
    require_keeper(desk.reader)
    with held(desk.folder, say):
        settings = checked(named_in_file(desk.folder), values)
        if desk.folder.publication_in_force() is None:
            return {}
        with warehouse(desk.folder):
            pass  # Opening it runs the migrations, which a trial cannot do.
        return {table: rows for table, rows in rows_otherwise(desk.folder, settings).items() if rows}


def take_back(desk: Desk, number: int, *, say: Say = lambda _: None) -> None:
    """Take a change back; a later one of the same setting stays. Raises what `change` does."""
    with held(desk.folder, say):
        with club_file(desk.folder) as connection:
            require_keeper_now(connection, desk.reader, OVER)
            values = stored.without(stored.changes(connection), number)
        write_settings(desk.folder, values)
        with club_file(desk.folder) as connection:
            stored.mark_taken_back(connection, number)
            record(connection, Event.SETTINGS, f"change {number} taken back", reader=desk.reader)
        _publish(desk)


def changes(desk: Desk) -> tuple[tuple[SettingsChange, str | None], ...]:
    """The last changes, the latest first, each with who made it, as far as the trail is kept."""
    require_keeper(desk.reader)
    with club_file(desk.folder) as connection:
        noted = entries(connection, desk.reader, LOOKED_THROUGH, Event.SETTINGS)
        who = {one.about.partition(":")[0]: one.name for one in noted}
        made = stored.changes(connection)[::-1][:SHOWN]
    return tuple((one, who.get(f"change {one.change}")) for one in made)


def _publish(desk: Desk) -> None:
    """Make the figures anew where there are any."""
    if desk.folder.publication_in_force() is not None and not is_current(desk.folder):
        build(desk.folder)


def _told(before: Values, after: Values) -> str:
    return ", ".join(f"{name} {_value(before[name])} → {_value(value)}" for name, value in after.items())


def _value(value: Any) -> str:
    return "as to begin with" if value is None else str(value)
