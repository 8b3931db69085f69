"""What is stored of a person: take it away, or forget it."""

import os
import sys
from pathlib import Path
from typing import Annotated

import typer

from dashboard import questions
from dashboard.commands.accounts import at_this_keyboard
from dashboard.commands.printing import print_table
from dashboard.commands.shared import DATA_DIR, Data, app, errors, progress_bar, say, screen
from dashboard.questions import Desk
from dashboard.rows.building import frame_of
from dashboard.rows.club import StoredRow
from dashboard.services.personal_data import forget_player, mentions_of, take_away
from dashboard.words.privacy import WHO_IS_MEANT, mention_in_words, was_done, will_happen
from ingest.club_day import today
from sql.disk import disk_told
from sql.folder import DataFolder, FolderProblem
from sql.warehouse import NothingPublished

PlayerCode = Annotated[str, typer.Argument(help="Code of the player.")]


@app.command("forget")
def forget_command(
    data: Data = DATA_DIR,
    player: Annotated[str | None, typer.Argument(help="Code of the player.")] = None,
    keeps_lines: Annotated[
        bool | None,
        typer.Option("--keep-lines/--delete-lines", help="Keep the log lines without a person, or delete them."),
    ] = None,
    is_sure: Annotated[bool, typer.Option("--yes", help="Do not ask. Needed in a pipe.")] = False,
    lists_due: Annotated[
        bool, typer.Option("--due", help="Only list who has no log for longer than the club's setting.")
    ] = False,
    spared: Annotated[
        list[int] | None,
        typer.Option("--spare", metavar="NUMBER", help="Leave a text that means somebody else, by its number."),
    ] = None,
) -> None:
    """Forget a player: code and name go from every file of the data folder. Cannot be taken back."""
    desk = Desk(DataFolder(data), at_this_keyboard())
    if lists_due:
        _list_due(desk)
        return
    if player is None or keeps_lines is None:
        raise typer.BadParameter("expected the code of a player and one of --keep-lines and --delete-lines.")
    screen.print(f"Forget {_known_as(desk, player)}. {will_happen(keeps_lines=keeps_lines)}", markup=False)
    meant_in = _tell_mentions(desk, player, frozenset(spared or ()))
    if not is_sure:
        _confirm(player)
    _forget(desk, player, meant_in, keeps_lines=keeps_lines)


def _forget(desk: Desk, player: str, meant_in: list[str], *, keeps_lines: bool) -> None:
    about = (desk.folder, player, desk.reader)
    with progress_bar() as progress:
        forgotten = forget_player(*about, keeps_lines=keeps_lines, meant_in=meant_in, say=say, progress=progress)
    for sentence in was_done(forgotten, desk.folder.settings()):
        screen.print(sentence, markup=False)


def _tell_mentions(desk: Desk, player: str, spared: frozenset[int]) -> list[str]:
    """Show where a part of the name stands alone, by number; the texts in which it is taken out."""
    found = mentions_of(desk.folder, player, desk.reader)
    if unknown := sorted(spared - set(range(1, len(found) + 1))):
        raise typer.BadParameter(f"--spare {unknown[0]}: expected the number of a text, 1 to {len(found)}.")
    if found:
        screen.print(f"{WHO_IS_MEANT} Leave one with --spare NUMBER.")
    for number, one in enumerate(found, start=1):
        what = "stays" if number in spared else "is taken out"
        screen.print(f"  {number}. {what}: {mention_in_words(one)}", markup=False)
    return [one.text for number, one in enumerate(found, start=1) if number not in spared]


def _list_due(desk: Desk) -> None:
    settings = desk.folder.settings()
    since = settings.logs_kept_since(today())
    if since is None:
        screen.print("The club has set no limit: retention_months in club.toml is 0.")
        return
    screen.print(f"Without a log since {since}. Whether to forget one of them is for a person to decide.")
    print_table(screen, frame_of(questions.due_to_be_forgotten(desk, since), StoredRow))


def _known_as(desk: Desk, player: str) -> str:
    try:
        names = {player.player_id: player.name for player in questions.stored_players(desk)}
    except NothingPublished:
        return player
    return f"{player} ({names[player]})" if player in names else f"{player}, who is not on the list of players"


def _confirm(player: str) -> None:
    """Raises Exit where the code is not typed, BadParameter where nobody can be asked."""
    if not is_at_terminal():
        raise typer.BadParameter("nobody can be asked here. Add --yes, if it is meant.")
    if typer.prompt(f"Type {player} to confirm", default="", show_default=False) != player:
        errors.print("That is another code. Nothing was changed.")
        raise typer.Exit(1)


def is_at_terminal() -> bool:
    """Somebody sits there who can answer."""
    return sys.stdin.isatty()


@app.command("export")
def export_command(
    player: PlayerCode,
    file: Annotated[Path, typer.Argument(help="The zip to write; for this player's eyes only.", dir_okay=False)],
    data: Data = DATA_DIR,
) -> None:
    """Write everything that is stored of a player into one zip of CSV files, for the player to have."""
    if file.exists():
        raise FolderProblem(f"{file}: is there already, and is not written over. Give another name.")
    archive = take_away(DataFolder(data), player, at_this_keyboard(), say=say)
    with disk_told(file), os.fdopen(os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as stream:
        stream.write(archive)
    screen.print(
        f"{file}: everything that is stored of {player}. Give it to nobody else, and delete it then.", markup=False
    )
