"""Where a part of a player's name stands alone in what others wrote: a person looks and says whom it means.

What names the player wholly, by name or code, is erased in any case (`sql/forgetting.py`) and is not told here.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from sql.club.erasing import words_of_others
from sql.club.file import club_file
from sql.folder import DataFolder
from sql.forgetting import find, require_stored_anything
from sql.forgetting_in_log import texts_of_others
from sql.holding import Say
from sql.person import Person
from sql.warehouse import held, warehouse


@dataclass(frozen=True)
class Mention:
    """A text in which somebody of this name may be meant; `place` names its table and column."""

    place: str
    text: str


def mentions(folder: DataFolder, player: str, say: Say = lambda _: None) -> tuple[Mention, ...]:
    """Every such text once, by place. Raises NobodyStored, or FolderProblem where the folder is busy."""
    require_stored_anything(folder, player)
    with held(folder, say):
        person, _ = find(folder, player)
        found = {Mention(place, text) for place, text in _texts(folder, person) if person.may_be_named_in(text)}
    return tuple(sorted(found, key=lambda one: (one.place, one.text)))


def _texts(folder: DataFolder, person: Person) -> Iterator[tuple[str, str]]:
    if folder.warehouse_file.exists():
        with warehouse(folder) as connection:
            yield from texts_of_others(connection, person)
    if folder.club_file.exists():
        with club_file(folder) as club:
            yield from words_of_others(club, person)
