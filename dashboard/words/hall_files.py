"""A plan of the hall as files that other programs read: CSV, and iCalendar (RFC 5545, by the library icalendar)."""

from collections.abc import Iterator
from datetime import UTC, datetime
from uuid import NAMESPACE_URL, uuid5
from zoneinfo import ZoneInfo

from icalendar import Calendar, Event

from dashboard.rows.halls import HallSession
from dashboard.words.hall import turn_line, who_plays
from ingest.csv_out import csv_text
from models.hall.told import HallSlot, TableSlot
from models.settings import Settings
from models.words import COVERAGE_DIMENSIONS

_WORDS = tuple(words.name for words in COVERAGE_DIMENSIONS)


def as_csv(session: HallSession) -> str:
    """One line for each turn, by time and table."""
    head = ("day", "begins_at", "table", "setup", "player", "name", "balls", *_WORDS, "why", "feeds", "gathers")
    return csv_text([head, *_lines(session)])


def _lines(session: HallSession) -> Iterator[tuple[str, ...]]:
    for slot in session.plan.slots:
        for table in slot.tables:
            for turn in table.turns:
                when = session.at(turn.begin)
                drill = turn.drill
                yield (
                    *(f"{when:%Y-%m-%d}", f"{when:%H:%M}", table.station.name, table.setup),
                    *(turn.player, session.names[turn.player], str(drill.balls)),
                    *(drill.gap.words.get(word) or "" for word in _WORDS),
                    *(drill.gap.why, turn.feeds or "", turn.gathers or ""),
                )


def as_calendar(session: HallSession, settings: Settings) -> str:
    """One event for each table in each slot; in UTC where the club names its time zone, else in local time."""
    calendar = Calendar()
    calendar.add("prodid", "-//Halflong//Hall plan//EN")
    calendar.add("version", "2.0")
    for slot in session.plan.slots:
        for table in slot.tables:
            if table.turns:
                calendar.add_component(_event(session, slot, table, settings))
    return str(calendar.to_ical(), "utf-8")


def _event(session: HallSession, slot: HallSlot, table: TableSlot, settings: Settings) -> Event:
    event = Event()
    begin = _on_the_clock(session.at(slot.begin), settings)
    # The same plan gives the same file: who takes it in twice has each event once.
    event.add("uid", str(uuid5(NAMESPACE_URL, f"{settings.club_id} {begin.isoformat()} {table.station.name}")))
    event.add("dtstamp", datetime.combine(session.on, session.begins_at, UTC))
    event.add("dtstart", begin)
    event.add("dtend", _on_the_clock(session.at(slot.begin + slot.minutes), settings))
    event.add("summary", f"{table.station.name}: {who_plays(session, table)}")
    event.add("location", table.station.name)
    event.add("description", "\n".join(turn_line(session, turn) for turn in table.turns))
    return event


def _on_the_clock(local: datetime, settings: Settings) -> datetime:
    return local.replace(tzinfo=ZoneInfo(settings.time_zone)).astimezone(UTC) if settings.time_zone else local
