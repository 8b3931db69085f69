"""The plan of the hall as the phone at a table has it: whose turn it is there, and with which balls."""

from datetime import date, datetime, time, timedelta
from typing import Any

from dashboard import questions
from dashboard.questions import Desk
from dashboard.services import halls_kept
from dashboard.words.phrases import balls, combination
from models.hall.kept import KeptHall, KeptTurn
from models.permits import NotPermitted
from sql.warehouse import NothingPublished

Told = dict[str, Any]


def in_turn(desk: Desk, today: date) -> list[Told]:
    """Every table of today's plans with its turns by time, of the players whom one may read."""
    try:
        names = questions.names_by_code(desk)
        halls = halls_kept.halls_of(desk, today)
    except (NotPermitted, NothingPublished):
        return []
    return [
        {
            "code": f"{hall.begins_at}/{station + 1}",
            "name": name if len(halls) == 1 else f"{name}, from {hall.begins_at}",
            "turns": [_turn(hall, turn, names) for turn in hall.at_station(station)],
        }
        for hall in halls
        for station, (name, _) in enumerate(hall.stations)
    ]


def _turn(hall: KeptHall, turn: KeptTurn, names: dict[str, str]) -> Told:
    begin = datetime.combine(hall.meant_for, time.fromisoformat(hall.begins_at)) + timedelta(minutes=turn.begins)
    kind = turn.block.kinds[0]
    return {
        "at": f"{begin:%H:%M}",
        "player": turn.player,
        "name": names.get(turn.player, turn.player),
        "text": f"{balls(turn.block.balls)}: {combination(kind.wanted)}",
        "isDone": turn.block.is_done,
        "order": turn.block.order,
        "balls": turn.block.balls - turn.block.fed,
        "feeds": [one.feed for one in turn.block.kinds],
    }
