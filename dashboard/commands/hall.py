"""The plan of the hall, as `halflong plan --stations` tells it: in lines, or as JSON, CSV or iCalendar."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, time
from typing import Any

from typer import echo

from dashboard import questions
from dashboard.commands.shared import say, screen
from dashboard.questions import Desk
from dashboard.rows.halls import HallOrder, HallSession
from dashboard.services import halls, halls_kept
from dashboard.words import hall as words
from dashboard.words import plan as plan_words
from dashboard.words.cautions import IN_SHORT
from dashboard.words.hall_files import as_calendar, as_csv
from ingest.club_day import today
from ingest.problems import printable
from models.hall.told import HallSlot, TableSlot, Turn

Row = dict[str, Any]


@dataclass(frozen=True)
class HallAsked:
    """What is asked of the command."""

    players: tuple[str, ...]
    stations: str
    minutes: float
    on: date
    keeps: bool


def tell_hall(desk: Desk, asked: HallAsked, format: str) -> None:  # noqa: A002
    """Plan, keep where that is asked for, and tell. Raises what `services.halls` does."""
    settings = questions.settings(desk)
    stations = tuple(word.strip() for word in asked.stations.split(",") if word.strip())
    begins_at = time.fromisoformat(settings.hall_begins_at)
    order = HallOrder(asked.players, stations, asked.minutes, asked.on, begins_at)
    draft = halls.bettered(desk, order)
    session = halls.session(desk, order, draft)
    if asked.keeps:
        halls_kept.keep(desk, session, today())
    for sentence in words.cautions_of(session):
        say(printable(sentence))
    if format == "json":
        screen.print(json.dumps(_as_json(session), ensure_ascii=False), markup=False)
    elif format == "csv":
        echo(as_csv(session).encode(), nl=False)
    elif format == "ics":
        echo(as_calendar(session, settings).encode(), nl=False)
    else:
        screen.print(*map(printable, _as_lines(session)), sep="\n", markup=False)


def _as_json(session: HallSession) -> Row:
    plan = session.plan
    return {
        "day": session.on.isoformat(),
        "begins_at": f"{session.begins_at:%H:%M}",
        "tables": [{"name": table.name, "feeding": table.feeding} for table in plan.stations],
        "moves": plan.moves,
        "longest_wait_minutes": plan.longest_wait,
        "could_be_better_by": None if plan.gap == float("inf") else round(plan.gap, 4),
        "balls": {player: plan.balls_of(player) for player in plan.children},
        "slots": [_slot(session, slot) for slot in plan.slots],
        "without_a_place": list(plan.without_a_place),
        "left_out": {player: len(left_out) for player, left_out in plan.left_out.items()},
    }


def _slot(session: HallSession, slot: HallSlot) -> Row:
    tables = [
        {
            "table": t.station.name,
            "setup": t.setup,
            "is_moved": t.is_moved,
            "turns": [_turn(session, u) for u in t.turns],
        }
        for t in slot.tables
    ]
    return {"begins_at": f"{session.at(slot.begin):%H:%M}", "tables": tables, "resting": list(slot.resting)}


def _turn(session: HallSession, turn: Turn) -> Row:
    roles = {"player": turn.player, "feeds": turn.feeds, "gathers": turn.gathers}
    told = {"balls": turn.drill.balls, "feed": turn.drill.feed, "why": turn.drill.gap.why}
    return {"begins_at": f"{session.at(turn.begin):%H:%M}", **roles, **told}


def _as_lines(session: HallSession) -> Iterator[str]:
    yield words.in_short(session.plan)
    yield words.for_everyone(session)
    yield words.how_good(session.plan.gap)
    for slot in session.plan.slots:
        yield f"{session.at(slot.begin):%H:%M} to {session.at(slot.begin + slot.minutes):%H:%M}"
        for table in slot.tables:
            yield from _table_lines(session, table)
        if slot.resting:
            yield f"  Rest: {', '.join(session.names[player] for player in slot.resting)}"
    if session.plan.moves:
        yield f"Where a feeder is moved: {IN_SHORT}"


def _table_lines(session: HallSession, table: TableSlot) -> Iterator[str]:
    moved = "; move the feeder there first" if table.is_moved else ""
    yield f"  {table.station.name}: {plan_words.setup_called(table.setup, session.setups)}{moved}"
    yield from (f"     {words.turn_line(session, turn)}" for turn in table.turns)
