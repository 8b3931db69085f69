"""Keeping the club's data: back up, try a backup out, restore, verify."""

import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer

from dashboard.commands.shared import DATA_DIR, Data, app, errors, progress_bar, say, screen
from sql.backup import TriedBackup, back_up, restore, try_out
from sql.encryption import Key, Lock, make_key, opens_by_passphrase, read_key
from sql.folder import DataFolder
from sql.verify import verify

BackupFile = Annotated[
    Path, typer.Argument(help="A backup, as 'halflong backup' writes it.", exists=True, dir_okay=False)
]
KeyFile = Annotated[
    Path | None,
    typer.Option("--key", help="The key file that opens an encrypted backup.", exists=True, dir_okay=False),
]
PASSPHRASE_VARIABLE = "HALFLONG_BACKUP_PASSPHRASE"  # noqa: S105 - the name of the variable, not what it holds
EmptyData = Annotated[Path, typer.Option("--data", help="An empty folder, or one to be made.", file_okay=False)]


@app.command("backup")
def backup_command(
    file: Annotated[Path, typer.Argument(help="The file to write, best on another disk.", dir_okay=False)],
    data: Data = DATA_DIR,
    replaces: Annotated[bool, typer.Option("--replace", help="Take the place of the file if it is there.")] = False,
    tries_out: Annotated[bool, typer.Option("--try", help="Then try it out, as 'halflong try-backup' does.")] = False,
    public_keys: Annotated[
        list[str] | None,
        typer.Option("--encrypt-for", metavar="PUBLIC_KEY", help="Encrypt it; 'halflong backup-key' makes a key."),
    ] = None,
    by_passphrase: Annotated[
        bool, typer.Option("--passphrase", help=f"Encrypt it with a passphrase, asked for or in {PASSPHRASE_VARIABLE}.")
    ] = False,
    key: KeyFile = None,
) -> None:
    """Write everything of the club that cannot be made again into one file, while everything runs."""
    folder = DataFolder(data)
    lock = _lock(public_keys or (), by_passphrase=by_passphrase)
    manifest = back_up(folder, file, replaces=replaces, lock=lock, say=say)
    screen.print(
        f"{file}: {manifest.batches} batches, {manifest.lines} lines, and {', '.join(sorted(manifest.members))}"
        f"{', encrypted' if lock else ''}.",
        markup=False,
    )
    if tries_out:
        opens = Key(passphrase=lock.passphrase) if lock and lock.passphrase else _key_for(file, key)
        with progress_bar() as progress:
            _tell(file, try_out(file, folder, key=opens, say=say, progress=progress))


def _lock(public_keys: Sequence[str], *, by_passphrase: bool) -> Lock | None:
    if public_keys and by_passphrase:
        raise typer.BadParameter("encrypt for keys or with a passphrase, not both.")
    if by_passphrase:
        return Lock(passphrase=_passphrase(is_new=True))
    return Lock(tuple(public_keys)) if public_keys else None


def _key_for(file: Path, key: Path | None) -> Key | None:
    """What opens a backup: the key file that was given, or a passphrase where it was made with one."""
    if key is not None:
        return read_key(key)
    return Key(passphrase=_passphrase(is_new=False)) if opens_by_passphrase(file) else None


def _passphrase(*, is_new: bool) -> str:
    if found := os.environ.get(PASSPHRASE_VARIABLE):
        return found
    if not sys.stdin.isatty():
        raise typer.BadParameter(f"nobody can be asked for the passphrase here. Put it into {PASSPHRASE_VARIABLE}.")
    return str(typer.prompt("Passphrase of the backup", hide_input=True, confirmation_prompt=is_new))


@app.command("backup-key")
def backup_key_command(
    file: Annotated[Path, typer.Argument(help="The file to write: without it no such backup opens.", dir_okay=False)],
) -> None:
    """Make a key for encrypted backups: the file opens them, the printed public key only makes them."""
    public = make_key(file)
    screen.print(f"Public key: {public}")
    screen.print(
        f"{file}: the private key. Keep it, and a second copy, away from this machine and from the backups: who has it "
        "reads them, and without it nobody does.",
        markup=False,
    )


@app.command("try-backup")
def try_backup_command(file: BackupFile, key: KeyFile = None) -> None:
    """Try a backup out: restore it into a folder beside it, verify and publish there, and remove that again."""
    opens = _key_for(file, key)
    with progress_bar() as progress:
        _tell(file, try_out(file, key=opens, say=say, progress=progress))


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
def restore_command(file: BackupFile, data: EmptyData, key: KeyFile = None) -> None:
    """Give a backup back into an empty folder, verify it, and publish. Never writes over anything."""
    opens = _key_for(file, key)
    with progress_bar() as progress:
        restored = restore(file, DataFolder(data), key=opens, say=say, progress=progress)
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
