"""Where to point a feeder's head: aim."""

import json
from dataclasses import asdict
from enum import StrEnum
from typing import Annotated

import typer

from dashboard import questions
from dashboard.commands.shared import DATA_DIR, Data, app, screen
from dashboard.questions import owners_desk
from dashboard.words.setup import aim_sentences
from models.feeder_aim import aimed
from models.feeder_setup import FeederSetup, NotAPlace, place_typed, setup_named, setup_typed
from models.stance import Handedness, Place
from sql.folder import DataFolder


class AimFormat(StrEnum):
    """How the aim is told."""

    TABLE = "table"
    JSON = "json"


# A place may begin with a minus, which would else be taken for an option.
@app.command("aim", context_settings={"ignore_unknown_options": True})
def aim_command(
    setup: Annotated[str, typer.Argument(help="The code of a setup, or a place X,Y in cm such as -20,65.")],
    target: Annotated[str, typer.Argument(help="Where the ball shall land, X,Y in cm such as 245,-40.")],
    data: Data = DATA_DIR,
    hand: Annotated[Handedness, typer.Option(help="The playing hand of who meets the balls.")] = "right",
    format: Annotated[AimFormat, typer.Option(help="How the answer is written.")] = AimFormat.TABLE,  # noqa: A002
) -> None:
    """Say how far a target is from a feeder, and how to turn its head.

    Places are in cm from the middle of the end line opposite the player: X towards the player (137 is the net, 274 the
    player's end line), Y to the player's right. Angles are from straight along the table, positive to the player's
    right.
    """
    folder = DataFolder(data)
    feeder_setup = _feeder_setup(folder, setup)
    aim = aimed(feeder_setup, _target(target), hand, folder.settings())
    if format is AimFormat.JSON:
        screen.print(json.dumps(asdict(aim), ensure_ascii=False), markup=False)
        return
    for sentence in aim_sentences(feeder_setup, aim):
        screen.print(sentence, markup=False)


def _feeder_setup(folder: DataFolder, setup: str) -> FeederSetup:
    if "," in setup:
        try:
            return setup_typed(setup)
        except NotAPlace as problem:
            raise typer.BadParameter(str(problem), param_hint="SETUP") from problem
    rows = questions.setups_now(owners_desk(folder), "right")
    return setup_named(setup, [row.feeder_setup for row in rows])


def _target(target: str) -> Place:
    try:
        return place_typed(target)
    except NotAPlace as problem:
        raise typer.BadParameter(str(problem), param_hint="TARGET") from problem
