"""How every question is asked: at a desk, on somebody's behalf. The one place where permits are enforced."""

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Any, Concatenate, ParamSpec, TypeVar

import polars as pl

from dashboard.rows.building import rows
from models.permits import NotPermitted, Reader, Reads, Role, owner
from sql.club.audit_trail import Event, record_in
from sql.folder import DataFolder
from sql.warehouse import NothingPublished, ask

MOST_KEPT = 512
MOST_ROWS_KEPT = 3000
"""Of one answer: a longer one is made into rows anew each time, so that many of them do not fill the memory."""

THE_OWNER = owner("the command line")

P = ParamSpec("P")
R = TypeVar("R")


@dataclass(frozen=True)
class Desk:
    """Where somebody sits and asks: the club's data folder, and on whose behalf."""

    folder: DataFolder
    reader: Reader


@dataclass(frozen=True)
class _Asker:
    """A desk, equal to that of anybody else to whom the same is open."""

    folder: DataFolder
    role: Role
    players: frozenset[str]
    groups: frozenset[str]
    desk: Desk = field(compare=False)


def _asker(desk: Desk) -> _Asker:
    return _Asker(desk.folder, desk.reader.role, desk.reader.players, desk.reader.groups, desk)


def owners_desk(folder: DataFolder) -> Desk:
    """The desk of whoever holds the folder, and could open its files anyway: the command line's."""
    return Desk(folder, THE_OWNER)


def answer(desk: Desk, question: str, *, reads: Reads, **parameters: Any) -> pl.DataFrame:
    """The rows that answer the question, as far as they are the reader's. Raises NothingPublished, NotPermitted.

    `reads` says what the question reads. A parameter `player_id` is the player whom it names.
    """
    return _kept(*_permitted(desk, question, reads, parameters))


def answer_rows(desk: Desk, as_: type[R], question: str, *, reads: Reads, **parameters: Any) -> tuple[R, ...]:
    """The rows that answer the question, of the type that it promises. Raises what `answer` does, NotTheseRows."""
    asked = _permitted(desk, question, reads, parameters)
    found = _kept(*asked)
    if found.height > MOST_ROWS_KEPT:
        return rows(found, as_)
    kind: Any = as_  # A type of rows is not known to be hashable, though every class is.
    made: tuple[R, ...] = _kept_rows(kind, *asked)
    return made


def kept(desk: Desk, make: Callable[Concatenate[Desk, P], R], *args: P.args, **named: P.kwargs) -> R:
    """What `make` makes of answers at this desk: once for a publication, and for all to whom the same is open.

    It may depend on nothing but its answers and its arguments, shows nothing, and stands in a module: a page's script
    makes its functions anew whenever it is shown. Raises what `make` raises, and what is raised is not kept.
    """
    if make.__module__ == "__main__":
        raise ValueError(f"{make.__qualname__} stands in a script, where nothing is kept")
    made: R = _kept_making(_asker(desk), _publication(desk), make, args, tuple(sorted(named.items())))
    return made


def first_row(desk: Desk, as_: type[R], question: str, *, reads: Reads, **parameters: Any) -> R | None:
    """The first row that answers the question; None where there is none. Raises what `answer_rows` does."""
    return next(iter(answer_rows(desk, as_, question, reads=reads, **parameters)), None)


def require_open(desk: Desk, player_id: str) -> None:
    """Raises NotPermitted where the data of this player are not the reader's, NothingPublished."""
    _require_permit(desk, _publication(desk), Reads.ONE_PLAYER, player_id)


def _publication(desk: Desk) -> Path:
    publication = desk.folder.publication_in_force()
    if publication is None:
        raise NothingPublished(desk.folder)
    return publication


_Asked = tuple["_Asker", Path, Reads, str, tuple[tuple[str, Any], ...]]


def _permitted(desk: Desk, question: str, reads: Reads, parameters: dict[str, Any]) -> _Asked:
    """The question as it is asked and kept. Raises NothingPublished, NotPermitted."""
    publication = _publication(desk)
    _require_permit(desk, publication, reads, parameters.get("player_id"))
    return _asker(desk), publication, reads, question, tuple(sorted(parameters.items()))


def _require_permit(desk: Desk, publication: Path, reads: Reads, player: str | None) -> None:
    reader = desk.reader
    is_open = reader.may_ask(reads)
    if player is not None:
        is_open = is_open and reader.may_read(player, _group_of(desk.folder, publication, player))
    elif reads is Reads.ONE_PLAYER:
        raise ValueError("a question about one player was asked without the player_id")
    if not is_open:
        whom = "this player" if player is not None else "the whole club"
        record_in(desk.folder, Event.REFUSAL, f"the data of {whom}", reader=reader, player=player)
        raise NotPermitted(f"The data of {whom} are not open to you. If they should be, ask your coordinator.")


# A publication never changes under its name, and a reader who may read other players is another asker: so an answer
# holds for as long as both stay the same, and nobody is given what was kept for somebody to whom more is open.
@lru_cache(maxsize=MOST_KEPT)
def _kept(
    asker: _Asker, publication: Path, reads: Reads, question: str, parameters: tuple[tuple[str, Any], ...]
) -> pl.DataFrame:
    found = ask(asker.folder, question, dict(parameters))
    if reads is not Reads.PLAYERS or asker.desk.reader.reads_everybody:
        return found
    groups = _groups(asker.folder, publication)
    own = [player for player in found["player_id"].unique() if asker.desk.reader.may_read(player, groups.get(player))]
    return found.filter(pl.col("player_id").is_in(own))


@lru_cache(maxsize=MOST_KEPT)
def _kept_rows(as_: Any, *asked: Any) -> Any:
    return rows(_kept(*asked), as_)


@lru_cache(maxsize=MOST_KEPT)
def _kept_making(
    asker: _Asker, _publication: Path, make: Callable[..., Any], args: tuple[Any, ...], named: tuple[Any, ...]
) -> Any:
    return make(asker.desk, *args, **dict(named))


def _group_of(folder: DataFolder, publication: Path, player: str) -> str | None:
    return _groups(folder, publication).get(player)


@lru_cache(maxsize=8)
def _groups(folder: DataFolder, _publication: Path) -> dict[str, str | None]:
    return dict(ask(folder, "select player_id, group_name from core.players").iter_rows())
