"""The published tables are made: build."""

from typing import Annotated

import typer

from dashboard.commands.shared import DATA_DIR, Data, app, errors, progress_bar, say, screen
from sql.build import build
from sql.folder import DataFolder
from sql.warehouse import held


@app.command("build")
def build_command(
    data: Data = DATA_DIR,
    full: Annotated[bool, typer.Option("--full", help="Carry nothing over from the last publication.")] = False,
) -> None:
    """Make the derived tables and publish them: anew where something changed, or all of them."""
    folder = DataFolder(data)
    with progress_bar() as progress, held(folder, say):
        publication = build(folder, progress, is_full=full)
    for warning in publication.warnings:
        errors.print(f"warning: {warning}", markup=False)
    screen.print(f"Publication {publication.number} is in force.")
