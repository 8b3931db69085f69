"""The next session: plan."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Annotated, Any

import typer

from dashboard import questions
from dashboard.commands.accounts import at_this_keyboard
from dashboard.commands.hall import HallAsked, tell_hall
from dashboard.commands.shared import DATA_DIR, Data, app, say, screen
from dashboard.questions import Desk
from dashboard.rows.plans import Proposal
from dashboard.services import plans
from dashboard.services.plans import NothingToPlan
from dashboard.words import plan as plan_words
from dashboard.words.cautions import IN_SHORT
from ingest.club_day import today
from ingest.problems import printable
from models.kept_plan import described
from models.nearest import nearest
from models.planned import PlannedBlock
from models.refusal import Refused
from sql.folder import DataFolder

Row = dict[str, Any]


class PlanFormat(StrEnum):
    """How a plan is told."""

    TABLE = "table"
    JSON = "json"
    CSV = "csv"
    ICS = "ics"


class NobodyToPlanFor(Refused):
    """No active player and no group is called so; the text names the nearest."""


Day = Annotated[
    datetime | None, typer.Option(formats=["%Y-%m-%d"], help="The day that the plan is for; today if not given.")
]
Closes = Annotated[bool, typer.Option("--closing", help="End with a mix in random order, as long as is set for it.")]

Stations = Annotated[
    str | None,
    typer.Option(
        metavar="A,B",
        help="Plan the hall: who is at which table when. Each table by what feeds there (robot, multiball, "
        "partner), or by the code of a feeder or of a setup.",
    ),
]


@app.command("plan")
def plan_command(
    whom: Annotated[str, typer.Argument(metavar="PLAYER_OR_GROUP", help="The code of a player, or a group.")],
    minutes: Annotated[float, typer.Option(min=1, max=300, help="How long the session is for each player.")],
    data: Data = DATA_DIR,
    keeps: Annotated[bool, typer.Option("--keep", help="Keep the plan, so that the table offers it.")] = False,
    closes: Closes = False,
    on: Day = None,
    stations: Stations = None,
    format: Annotated[  # noqa: A002
        PlanFormat, typer.Option(help="How the plan is written; csv and ics are for the hall.")
    ] = PlanFormat.TABLE,
) -> None:
    """Say what to feed a player, or each player of a group, in the next session, and why; or who is where in the hall.

    For the hall, several groups and players are named with commas between them.
    """
    desk = Desk(DataFolder(data), at_this_keyboard())
    meant_for = on.date() if on else today()
    if meant_for < today():
        raise typer.BadParameter(f"{meant_for} is over. Give today or a later day.", param_hint="--on")
    if stations is not None:
        tell_hall(desk, HallAsked(_everybody(desk, whom), stations, minutes, meant_for, keeps), format.value)
    else:
        _tell_players(desk, _players(desk, whom), Asked(minutes, meant_for, keeps, closes), format)


@dataclass(frozen=True)
class Asked:
    """What is asked of the plans of single players."""

    minutes: float
    meant_for: date
    keeps: bool
    closes: bool


def _everybody(desk: Desk, whom: str) -> tuple[str, ...]:
    """The players meant by groups and players with commas between them; who is meant twice, stands there twice."""
    return tuple(code for word in whom.split(",") for code in _players(desk, word.strip()))


def _tell_players(desk: Desk, players: dict[str, str], asked: Asked, format: PlanFormat) -> None:  # noqa: A002
    if format in (PlanFormat.CSV, PlanFormat.ICS):
        raise typer.BadParameter(
            f"{format.value} is for a plan of the hall: name its tables too.", param_hint="--stations"
        )
    minutes, meant_for, keeps = asked.minutes, asked.meant_for, asked.keeps
    made, refused = _proposals(desk, players, minutes, meant_for, closes=asked.closes)
    if not made and format is PlanFormat.TABLE:
        raise NothingToPlan("\n".join(refused.values()))
    for proposal in made if keeps else ():
        plans.keep(desk, proposal.player_id, proposal.plan, meant_for, today())
    for sentence in refused.values():
        say(printable(sentence))
    kept_for = meant_for.isoformat() if keeps else None
    if format is PlanFormat.JSON:
        sessions = [_as_json(proposal, players[proposal.player_id], kept_for) for proposal in made]
        screen.print(json.dumps(sessions, ensure_ascii=False), markup=False)
    else:
        screen.print(*map(printable, _as_lines(desk, made, players, kept_for)), sep="\n", markup=False)


def _players(desk: Desk, whom: str) -> dict[str, str]:
    """The active players meant, by code with their names. Raises NobodyToPlanFor."""
    rows = questions.players(desk)
    by_word = {row.group_name: "group_name" for row in rows if row.group_name}
    by_word |= {row.player_id: "player_id" for row in rows}
    by_case = {word.casefold(): word for word in by_word}
    word = whom if whom in by_word else by_case.get(whom.strip().casefold())
    if word is None:
        near = nearest(whom, by_word)
        hint = f" Did you mean {near}?" if near else ""
        raise NobodyToPlanFor(f"No active player and no group is called {whom!r}.{hint}")
    return {row.player_id: row.name for row in rows if getattr(row, by_word[word]) == word}


def _proposals(
    desk: Desk, players: dict[str, str], minutes: float, on: date, *, closes: bool
) -> tuple[list[Proposal], dict[str, str]]:
    """What could be planned, and for whom nothing could, with the reason."""
    made, refused = [], {}
    for code, name in players.items():
        try:
            made.append(plans.proposed(desk, code, minutes, on, closes=closes))
        except NothingToPlan as problem:
            refused[code] = f"{name} ({code}): {problem}"
    return made, refused


def _as_json(proposal: Proposal, name: str, kept_for: str | None) -> Row:
    plan = proposal.plan
    return {
        "player": proposal.player_id,
        "name": name,
        "day": proposal.on.isoformat(),
        "minutes_given": proposal.minutes,
        "minutes": round(plan.minutes, 2),
        "balls": plan.balls,
        "moves": [[before.setup, after.setup] for before, after in plan.moves],
        "blocks": [described(block) for block in plan.blocks],
        "left_out": [
            {"wanted": {name: word for name, word in one.gap.words.items() if word is not None}, "why": one.why}
            for one in plan.left_out
        ],
        "kept_for": kept_for,
    }


def _as_lines(desk: Desk, made: list[Proposal], players: dict[str, str], kept_for: str | None) -> Iterator[str]:
    if old := plan_words.old_log(questions.last_day(desk), made[0].on):
        yield old
    for proposal in made:
        yield f"{players[proposal.player_id]} ({proposal.player_id}): {plan_words.in_short(proposal.plan)}"
        for number, block in enumerate(proposal.plan.blocks, start=1):
            yield from _block_lines(proposal, number, block)
        yield from (f"  {sentence}" for sentence in plan_words.left_out(proposal.plan))
        if kept_for:
            yield f"  Kept for {kept_for}: the table offers it."
    yield plan_words.how_counted(questions.settings(desk))
    if any(proposal.plan.moves for proposal in made):
        yield f"Where the feeder is moved: {IN_SHORT}"


def _block_lines(proposal: Proposal, number: int, block: PlannedBlock) -> Iterator[str]:
    yield f"  {number}. {plan_words.setup_called(block.stand.setup, proposal.setups)}: {plan_words.block_head(block)}"
    for drill in block.drills:
        yield f"     {plan_words.why_in(drill, proposal)}"
