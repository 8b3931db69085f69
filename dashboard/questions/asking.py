"""How every question is asked: at a desk, on somebody's behalf. The one place where permits are enforced."""

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any, TypeVar

import polars as pl

from dashboard.rows.building import rows
from models.permits import NotPermitted, Reader, Reads, owner
from sql.club.audit_trail import Event, record_in
from sql.folder import DataFolder
from sql.warehouse import NothingPublished, ask

MOST_KEPT = 512

THE_OWNER = owner("the command line")

R = TypeVar("R")


@dataclass(frozen=True)
class Desk:
    """Where somebody sits and asks: the club's data folder, and on whose behalf."""

    folder: DataFolder
    reader: Reader


def owners_desk(folder: DataFolder) -> Desk:
    """The desk of whoever holds the folder, and could open its files anyway: the command line's."""
    return Desk(folder, THE_OWNER)


def answer(desk: Desk, question: str, *, reads: Reads, **parameters: Any) -> pl.DataFrame:
    """The rows that answer the question, as far as they are the reader's. Raises NothingPublished, NotPermitted.

    `reads` says what the question reads. A parameter `player_id` is the player whom it names.
    """
    publication = _publication(desk)
    _require_permit(desk, publication, reads, parameters.get("player_id"))
    return _kept(desk, publication, reads, question, tuple(sorted(parameters.items())))


def answer_rows(desk: Desk, as_: type[R], question: str, *, reads: Reads, **parameters: Any) -> tuple[R, ...]:
    """The rows that answer the question, of the type that it promises. Raises what `answer` does, NotTheseRows."""
    return rows(answer(desk, question, reads=reads, **parameters), as_)


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


# A publication never changes under its name, and a reader who may read other players is another reader: so an answer
# holds for as long as both stay the same, and nobody is given what was kept for somebody else.
@lru_cache(maxsize=MOST_KEPT)
def _kept(
    desk: Desk, publication: Path, reads: Reads, question: str, parameters: tuple[tuple[str, Any], ...]
) -> pl.DataFrame:
    found = ask(desk.folder, question, dict(parameters))
    if reads is not Reads.PLAYERS or desk.reader.reads_everybody:
        return found
    groups = _groups(desk.folder, publication)
    own = [player for player in found["player_id"].unique() if desk.reader.may_read(player, groups.get(player))]
    return found.filter(pl.col("player_id").is_in(own))


def _group_of(folder: DataFolder, publication: Path, player: str) -> str | None:
    return _groups(folder, publication).get(player)


@lru_cache(maxsize=8)
def _groups(folder: DataFolder, _publication: Path) -> dict[str, str | None]:
    return dict(ask(folder, "select player_id, group_name from core.players").iter_rows())
