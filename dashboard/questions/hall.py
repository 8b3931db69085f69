"""What a plan of the hall asks: where feeders can stand, and what everybody who is here is wanted to meet."""

from datetime import date

from dashboard.questions.asking import Desk, answer, answer_rows
from dashboard.rows.feeding import HallSetupRow
from models.permits import Reads
from models.worth import Wanted
from sql.wanted import WANTED_ON_DAY, as_wanted


def hall_setups(desk: Desk) -> tuple[HallSetupRow, ...]:
    """The setups as they stand now, as players of each hand meet them."""
    return answer_rows(
        desk,
        HallSetupRow,
        "select setup_id, handedness, name, feeding, feeder_id, depth, side, x_cm, y_cm from core.setups"
        " where valid_to is null order by setup_id, handedness",
        reads=Reads.NOBODY,
    )


def wanted_by_player(desk: Desk, on: date) -> dict[str, tuple[Wanted, ...]]:
    """Every combination that is wanted of each player whom one may read, and how they stand to it on a day."""
    rows = answer(desk, WANTED_ON_DAY, day=on, player_id=None, reads=Reads.PLAYERS)
    found: dict[str, list[Wanted]] = {}
    for row in rows.iter_rows(named=True):
        found.setdefault(row["player_id"], []).append(as_wanted(row))
    return {player: tuple(wanted) for player, wanted in found.items()}
