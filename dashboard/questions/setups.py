"""What is asked while landings are noted beside the table."""

from datetime import date

from dashboard.questions.asking import Desk, answer
from models.permits import Reads


def next_landing(desk: Desk, feeder_id: str, noted_on: date) -> int:
    """The number of the next ball of a feeder on a day; 1 where none is noted yet."""
    found = answer(
        desk,
        "select next_ball from report.next_landings where feeder_id = $feeder_id and noted_on = $noted_on",
        feeder_id=feeder_id,
        noted_on=noted_on,
        reads=Reads.NOBODY,
    )
    return int(next(iter(found["next_ball"]), 1))
