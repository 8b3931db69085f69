"""Pages on paper: a player's page, an empty session sheet."""

from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import typer

from dashboard.commands.accounts import at_this_keyboard
from dashboard.commands.shared import DATA_DIR, Data, app, screen
from dashboard.paper.making import Made, player_page_made, session_sheet_made
from dashboard.questions import Desk
from sql.archive import require_place, whole_file
from sql.disk import disk_told
from sql.folder import DataFolder

PdfFile = Annotated[Path, typer.Argument(help="The PDF to write.", dir_okay=False)]
Replaces = Annotated[bool, typer.Option("--replace", help="Take the place of the file if it is there.")]


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
def sheet_command(file: PdfFile, data: Data = DATA_DIR, replaces: Replaces = False) -> None:
    """Write an empty session sheet as a PDF, to note balls by hand beside the table."""
    _written(file, session_sheet_made, data, replaces=replaces)
    screen.print(f"{file}: an empty session sheet with the club's setups.", markup=False)


def _written(file: Path, make: Callable[[Desk], Made], data: Path, *, replaces: bool) -> None:
    """Raises FolderProblem where the file cannot be written, or is there already and `replaces` is not said."""
    require_place(file, "is not written over", replaces=replaces)
    made = make(Desk(DataFolder(data), at_this_keyboard()))
    with disk_told(file), whole_file(file) as draft:
        draft.write_bytes(made.pdf)
