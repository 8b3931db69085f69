"""Keeping the club's data: back up, try a backup out, restore, verify."""

from pathlib import Path
from typing import Annotated

import typer

from dashboard.commands.shared import DATA_DIR, Data, app, errors, progress_bar, say, screen
from sql.backup import TriedBackup, back_up, restore, try_out
from sql.folder import DataFolder
from sql.verify import verify

BackupFile = Annotated[
    Path, typer.Argument(help="A backup, as 'halflong backup' writes it.", exists=True, dir_okay=False)
]
EmptyData = Annotated[Path, typer.Option("--data", help="An empty folder, or one to be made.", file_okay=False)]


@app.command("backup")
def backup_command(
    file: Annotated[Path, typer.Argument(help="The file to write, best on another disk.", dir_okay=False)],
    data: Data = DATA_DIR,
    replaces: Annotated[bool, typer.Option("--replace", help="Take the place of the file if it is there.")] = False,
    tries_out: Annotated[bool, typer.Option("--try", help="Then try it out, as 'halflong try-backup' does.")] = False,
) -> None:
    """Write everything of the club that cannot be made again into one file, while everything runs."""
    folder = DataFolder(data)
    manifest = back_up(folder, file, replaces=replaces, say=say)
    screen.print(
        f"{file}: {manifest.batches} batches, {manifest.lines} lines, and {', '.join(sorted(manifest.members))}.",
        markup=False,
    )
    if tries_out:
        with progress_bar() as progress:
            _tell(file, try_out(file, folder, say=say, progress=progress))


@app.command("try-backup")
def try_backup_command(file: BackupFile) -> None:
    """Try a backup out: restore it into a folder beside it, verify and publish there, and remove that again."""
    with progress_bar() as progress:
        _tell(file, try_out(file, say=say, progress=progress))


def _tell(file: Path, tried: TriedBackup) -> None:
    screen.print(
        f"{file}: restored, verified and published in a folder of its own, which is removed again: "
        f"{tried.manifest.batches} batches, {tried.manifest.lines} lines.",
        markup=False,
    )
    if tried.different:
        errors.print(f"Not as published in the club's folder: {', '.join(tried.different)}.", markup=False)
        raise typer.Exit(1)
    if tried.different is not None:
        screen.print("Every published table says the same as in the club's folder.")


@app.command("restore")
def restore_command(file: BackupFile, data: EmptyData) -> None:
    """Give a backup back into an empty folder, verify it, and publish. Never writes over anything."""
    with progress_bar() as progress:
        restored = restore(file, DataFolder(data), say=say, progress=progress)
    manifest = restored.manifest
    made_at = DataFolder(data).settings().local(manifest.made_at)
    screen.print(
        f"{data}: the club '{manifest.club_id}' as of {made_at:%Y-%m-%d %H:%M}, "
        f"{manifest.batches} batches, {manifest.lines} lines; verified and published.",
        markup=False,
    )
    screen.print("What was loaded, withdrawn or erased after that is to be done again; everybody signs in anew.")


@app.command("verify")
def verify_command(data: Data = DATA_DIR) -> None:
    """Read everything and hold it against its checksums and rules; make anew what can be made anew."""
    with progress_bar() as progress:
        verdict = verify(DataFolder(data), say=say, progress=progress)
    for finding in verdict.findings:
        screen.print(finding.sentence, markup=False)
    faults = len(verdict.findings)
    screen.print(
        f"Read: batches {verdict.batches}, lines {verdict.lines}, published files {verdict.publications}. "
        f"Faults: {faults or 'none'}{', all mended' if faults and verdict.is_sound else ''}."
    )
    if not verdict.is_sound:
        raise typer.Exit(1)
