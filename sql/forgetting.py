"""Forgetting a player: afterwards no file of the data folder holds the code or the name.

The log's lines of the player are either deleted, or kept without a person: under a code that says nothing, without
name, group, birth year, level, first day, day of consent and notes. Where others' lines name the player, those words
go. A code that means something else here too (a number, a single sign, a word of the log, a setup, a feeder, a group)
is taken away where it stands for the player, and left where it may mean that.
"""

from collections.abc import Collection
from dataclasses import dataclass, replace

from sql.build import build
from sql.club.erasing import account_names, erase_words, forget_in_club_file, is_in_club_file
from sql.folder import DataFolder, FolderProblem
from sql.forgetting_in_log import erase_from_log
from sql.holding import Say, owe_publication
from sql.made_backups import MadeBackup, made_backups
from sql.making_tables import Progress
from sql.person import Person, person_called
from sql.refusals_of_player import refused_cells
from sql.warehouse import held, warehouse

GONE = "gone-"
"""Begins the code of lines that were kept without a person."""

THINGS = 'select setup from log.setups union select feeder from log.feeders union select "group" from log.players'


class NobodyStored(FolderProblem):
    """Nothing is stored here under this code."""

    def __init__(self, folder: DataFolder, player: str) -> None:
        super().__init__(
            f"saw {player!r}, expected the code of a player in the log or with an account here.", where=folder.path
        )


@dataclass(frozen=True)
class Forgotten:
    """What was done: lines of the player changed or deleted, and what may still hold the person."""

    code: str | None
    """The code that says nothing, where lines are kept."""
    lines: int
    backups: tuple[MadeBackup, ...]
    accounts: tuple[str, ...]
    """Accounts with the person's name that stay: of somebody else, or of the person as a coach or coordinator."""


def forget(
    folder: DataFolder,
    player: str,
    *,
    keeps_lines: bool,
    meant_in: Collection[str] = (),
    say: Say = lambda _: None,
    progress: Progress = lambda *_: None,
) -> Forgotten:
    """Forget a player, publish anew, and remove the publications from before.

    `meant_in`: texts in which a part of the name alone means this person (`sql/mentions.py` finds them). May be given
    again after it was cut off. Raises NobodyStored, or FolderProblem where the folder is busy.
    """
    require_stored_anything(folder, player)
    with held(folder, say):
        person, codes = find(folder, player)
        person = replace(person, meant_in=frozenset(meant_in))
        code = _free_code(codes) if keeps_lines and player in codes else None
        # First, while the log still tells the names: should this be cut off, the accounts still tell who is meant.
        erase_words(folder, person)
        folder.published.mkdir(exist_ok=True)
        folder.erased_file.touch()
        owe_publication(folder)
        lines = erase_from_log(folder, person, code)
        build(folder, progress)
        # Last, with whatever came in until now: from now on nobody can log for this player.
        accounts = forget_in_club_file(folder, person)
    return Forgotten(code, lines, tuple(made_backups(folder)), accounts)


def require_stored_anything(folder: DataFolder, player: str) -> None:
    """Raises NobodyStored where there is no club: whoever holds a folder makes it."""
    if not folder.warehouse_file.exists() and not folder.club_file.exists():
        raise NobodyStored(folder, player)


def find(folder: DataFolder, player: str) -> tuple[Person, set[str]]:
    """The person, and all codes of players. Only while the folder is held. Raises NobodyStored."""
    own, others = account_names(folder, player)
    with warehouse(folder) as connection:
        rows = connection.execute("select player, name from log.players").fetchall()
        things = [thing for (thing,) in connection.execute(THINGS).fetchall() if thing]
        is_refused = any(refused.is_of(player) for refused in refused_cells(connection))
    codes = {code for code, _ in rows}
    if player not in codes and not is_refused and not is_in_club_file(folder, player):
        raise NobodyStored(folder, player)
    own |= {name for code, name in rows if code == player and name}
    others |= {word for row in rows if row[0] != player for word in row if word}
    return person_called(player, own, others=others, things=things), codes


def _free_code(codes: Collection[str]) -> str:
    return next(code for number in range(1, len(codes) + 2) if (code := f"{GONE}{number}") not in codes)
