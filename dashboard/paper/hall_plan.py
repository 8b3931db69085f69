"""The plan of the hall on paper: who is where when, then a page for each table with its turns, and its code."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any

from dashboard import questions
from dashboard.paper.addresses import table_station
from dashboard.paper.plan_sheet import MOST_TICKS, Size
from dashboard.paper.planned_kind import kind_on_paper
from dashboard.paper.qr import qr_drawing
from dashboard.paper.sheets import NotOnPaper, Sheet, sheet
from dashboard.questions import Desk
from dashboard.rows.club import PlayerRow
from dashboard.rows.feeding import SetupRow
from dashboard.services import halls_kept
from dashboard.tables.hall import short_name
from dashboard.words.cautions import BEFORE_YOU_MOVE_IT, IN_SHORT, MOVING_A_FEEDER, WHO_DECIDES
from dashboard.words.hall import ROLES
from dashboard.words.plan import setup_called
from models.hall.kept import KeptHall, KeptTurn
from models.settings import Settings
from models.stance import Handedness, Place, distance_cm

NOBODY = "–"

HOW_TO_USE = (
    "A filled circle is a good ball, a crossed one is not. Whoever comes next at a table gathers; where partners feed, "
    "whoever comes next feeds."
)
BY_PHONE = " The code opens the table on the phone: whose turn it is, and each turn by one touch."


@dataclass(frozen=True)
class _Told:
    """By what the turns are told: the players, and where each setup stands as players of each hand meet it."""

    desk: Desk
    players: Mapping[str, PlayerRow]
    feeders: Mapping[tuple[str, Handedness], SetupRow]
    settings: Settings


def hall_plan(desk: Desk, day: date, begins_at: str, address: str | None = None, size: Size = "a4") -> Sheet:
    """The kept plan. `address`: under which phones reach the club's pages; None leaves out the codes.

    Raises NotPermitted, NothingPublished, NotOnPaper.
    """
    kept = next((hall for hall in halls_kept.halls_of(desk, day) if hall.begins_at == begins_at), None)
    if kept is None:
        raise NotOnPaper(f"No plan of the hall is kept for {day} at {begins_at}.")
    told = _told(desk)
    return sheet(
        desk,
        f"Hall plan, {day:%A} {day.day} {day:%B}, {begins_at}",
        "hall_plan.typ",
        paper=size,
        tables=[name for name, _ in kept.stations],
        slots=list(_slots(kept, told)),
        stations=[_station(kept, station, told, address) for station in range(len(kept.stations))],
        how_to_use=HOW_TO_USE + (BY_PHONE if address else ""),
        caution=f"Before each move of the feeder: {IN_SHORT}",
        cautions={"title": BEFORE_YOU_MOVE_IT, "sentences": MOVING_A_FEEDER, "last": WHO_DECIDES},
    )


def _told(desk: Desk) -> _Told:
    hands: tuple[Handedness, ...] = ("right", "left")
    feeders = {(row.setup_id, hand): row for hand in hands for row in questions.setups_now(desk, hand)}
    players = {player.player_id: player for player in questions.players(desk)}
    return _Told(desk, players, feeders, questions.settings(desk))


def _slots(kept: KeptHall, told: _Told) -> Iterator[dict[str, Any]]:
    """Slot by slot when it begins, and who is at each table in it."""
    for slot in sorted({turn.slot for turn in kept.turns}):
        own = [turn for turn in kept.turns if turn.slot == slot]
        names = [
            ", ".join(dict.fromkeys(short_name(_name(turn, told)) for turn in own if turn.station == station)) or NOBODY
            for station in range(len(kept.stations))
        ]
        yield {"clock": _clock(kept, own[0]), "names": names}


def _station(kept: KeptHall, station: int, told: _Told, address: str | None) -> dict[str, Any]:
    (name, feeding), turns = kept.stations[station], kept.at_station(station)
    return {
        "name": name,
        "feeds": ROLES[feeding],
        "code": qr_drawing(table_station(address, kept.begins_at, station + 1)) if address else None,
        "turns": list(_turns(kept, turns, told, is_moved=feeding == "robot")),
    }


def _turns(kept: KeptHall, turns: Sequence[KeptTurn], told: _Told, *, is_moved: bool) -> Iterator[dict[str, Any]]:
    at: str | None = None
    for turn in turns:
        kind = turn.block.kinds[0]
        setup = str(kind.feed["setup"])
        hand = told.players[turn.player].handedness
        feeder = told.feeders.get((setup, hand))
        yield {
            "clock": _clock(kept, turn),
            "place": None
            if setup == at
            else _place(setup, feeder, told.feeders.get((at or "", hand)), is_moved=is_moved),
            "player": _name(turn, told),
            "kind": kind_on_paper(told.desk, kind, feeder, hand, told.settings),
            "balls": turn.block.balls,
            "circles": turn.block.balls if turn.block.balls <= MOST_TICKS else 0,
        }
        at = setup


def _place(setup: str, feeder: SetupRow | None, before: SetupRow | None, *, is_moved: bool) -> str:
    called = setup_called(setup, {setup: feeder.name} if feeder else {})
    if not is_moved:
        return f"Feed from {called}"
    if before is None or feeder is None:
        return f"The feeder stands at {called}"
    away_cm = distance_cm(Place(before.x_cm, before.y_cm), Place(feeder.x_cm, feeder.y_cm))
    return f"Move the feeder to {called}: {away_cm:.0f} cm"


def _name(turn: KeptTurn, told: _Told) -> str:
    return told.players[turn.player].name


def _clock(kept: KeptHall, turn: KeptTurn) -> str:
    begin = datetime.combine(kept.meant_for, time.fromisoformat(kept.begins_at)) + timedelta(minutes=turn.begins)
    return f"{begin:%H:%M}"
