"""Pages on paper: a player's page, an empty session sheet."""

from collections.abc import Callable
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from dashboard.commands.accounts import at_this_keyboard
from dashboard.commands.shared import DATA_DIR, Data, app, screen
from dashboard.door.settings import read_door
from dashboard.paper.making import Made, plan_sheet_made, player_page_made, session_sheet_made
from dashboard.questions import Desk
from dashboard.services.served_folder import served_at
from sql.archive import require_place, whole_file
from sql.disk import disk_told
from sql.folder import DataFolder

PdfFile = Annotated[Path, typer.Argument(help="The PDF to write.", dir_okay=False)]
Replaces = Annotated[bool, typer.Option("--replace", help="Take the place of the file if it is there.")]


class PaperSize(StrEnum):
    """The papers that a plan is set for."""

    A4 = "a4"
    LETTER = "letter"


@app.command("report")
def report_command(
    player: Annotated[str, typer.Argument(help="Code of the player.")],
    file: PdfFile,
    data: Data = DATA_DIR,
    replaces: Replaces = False,
) -> None:
    """Write a player's page as a PDF to print: what was met, what lacks, how it goes."""
    _written(file, lambda desk: player_page_made(desk, player), data, replaces=replaces)
    screen.print(f"{file}: the page of {player}, for the player's eyes and those of who trains them.", markup=False)


@app.command("sheet")
def sheet_command(
    file: PdfFile,
    data: Data = DATA_DIR,
    replaces: Replaces = False,
    for_six: Annotated[bool, typer.Option("--six", help="A sheet for six players who are fed the same balls.")] = False,
    plan: Annotated[
        str | None, typer.Option("--plan", metavar="PLAYER", help="The plan that is kept for this player, to tick.")
    ] = None,
    paper: Annotated[PaperSize, typer.Option(help="The paper that a plan is set for.")] = PaperSize.A4,
) -> None:
    """Write a session sheet as a PDF, to note balls by hand beside the table: empty, or of a player's plan."""
    if plan is not None and for_six:
        raise typer.BadParameter("A plan is one player's. Leave --six out.", param_hint="--plan")
    if plan is None:
        _written(file, lambda desk: session_sheet_made(desk, players=6 if for_six else 1), data, replaces=replaces)
        screen.print(f"{file}: an empty session sheet with the club's setups.", markup=False)
        return
    folder = DataFolder(data)
    at = read_door(folder).settings.public_url or served_at(folder)
    _written(file, lambda desk: plan_sheet_made(desk, plan, club_address=at, size=paper.value), data, replaces=replaces)
    codes = "" if at else " Without codes for the phone: no public_url is set, and the screens are not served."
    screen.print(f"{file}: the plan of {plan}, to tick.{codes}", markup=False)


def _written(file: Path, make: Callable[[Desk], Made], data: Path, *, replaces: bool) -> None:
    """Raises FolderProblem where the file cannot be written, or is there already and `replaces` is not said."""
    require_place(file, "is not written over", replaces=replaces)
    made = make(Desk(DataFolder(data), at_this_keyboard()))
    with disk_told(file), whole_file(file) as draft:
        draft.write_bytes(made.pdf)
