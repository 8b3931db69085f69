"""The plan of the hall on paper: table by table, in the order of the turns, with room to note what was done."""

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta

from dashboard import questions
from dashboard.paper.parts import Heading, Part, Points, Sentence, Table
from dashboard.paper.sheets import NotOnPaper, Sheet, sheet
from dashboard.questions import Desk
from dashboard.services import halls_kept
from dashboard.words.cautions import BEFORE_YOU_MOVE_IT, MOVING_A_FEEDER, WHO_DECIDES
from dashboard.words.hall import ROLES
from dashboard.words.phrases import combination
from dashboard.words.plan import setup_called
from models.hall.kept import KeptHall, KeptTurn

TITLES = ("From", "Feeder at", "Player", "Balls", "What is fed", "Good")


def hall_plan(desk: Desk, day: date, begins_at: str) -> Sheet:
    """The kept plan. Raises NotPermitted, NothingPublished, NotOnPaper."""
    kept = next((hall for hall in halls_kept.halls_of(desk, day) if hall.begins_at == begins_at), None)
    if kept is None:
        raise NotOnPaper(f"No plan of the hall is kept for {day} at {begins_at}.")
    return sheet(desk, f"Hall plan, {day:%A} {day.day} {day:%B}, {begins_at}", "page.typ", list(_parts(desk, kept)))


def _parts(desk: Desk, kept: KeptHall) -> Iterator[Part]:
    names = questions.names_by_code(desk)
    setups = {setup.setup_id: setup.name for setup in questions.hall_setups(desk)}
    for station, (name, feeding) in enumerate(kept.stations):
        yield Heading(f"{name}: {ROLES[feeding]}")
        turns = kept.at_station(station)
        yield Table(TITLES, [_row(kept, turn, names, setups) for turn in turns])
    yield Sentence(
        "Whoever comes next at a table gathers; where partners feed, whoever comes next feeds.", is_small=True
    )
    yield Heading(BEFORE_YOU_MOVE_IT)
    yield Points(MOVING_A_FEEDER)
    yield Sentence(WHO_DECIDES, is_small=True)


def _row(kept: KeptHall, turn: KeptTurn, names: dict[str, str], setups: dict[str, str]) -> tuple[str, ...]:
    begin = datetime.combine(kept.meant_for, time.fromisoformat(kept.begins_at)) + timedelta(minutes=turn.begins)
    kind = turn.block.kinds[0]
    balls = combination({name: word for name, word in kind.wanted.items() if name not in ("depth", "side")})
    place = setup_called(str(kind.feed["setup"]), setups)
    player = names.get(turn.player, turn.player)
    return f"{begin:%H:%M}", place, player, str(turn.block.balls), balls, ""
