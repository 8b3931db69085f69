"""All that is stored of one person: taken away, or erased. Each is recorded in the audit trail."""

from collections.abc import Collection

from dashboard.services.player_archive import player_archive
from models.permits import NotPermitted, Reader, require_confirmed
from models.shapes import Code
from sql.club.audit_trail import Event, record, record_in
from sql.club.file import club_file
from sql.folder import DataFolder
from sql.forgetting import Forgotten, forget
from sql.holding import Say
from sql.making_tables import Progress
from sql.mentions import Mention, mentions

EVERYTHING = "everything stored of this player"


def take_away(
    folder: DataFolder, player: str, by: Reader, *, address: str | None = None, say: Say = lambda _: None
) -> bytes:
    """The zip of everything that is stored of a player.

    Raises NotPermitted, NotConfirmed, and what player_archive raises.
    """
    if not by.may_take_away(player):
        record_in(folder, Event.REFUSAL, EVERYTHING, reader=by, player=player[: Code.longest])
        raise NotPermitted("What is stored of this player is given to the player, a guardian and a coordinator only.")
    require_confirmed(by)
    archive = player_archive(folder, player, say)
    with club_file(folder) as connection:
        record(connection, Event.EXPORT, EVERYTHING, reader=by, player=player, address=address)
    return archive


def mentions_of(folder: DataFolder, player: str, by: Reader) -> tuple[Mention, ...]:
    """Texts in which a part of the player's name stands alone. Raises NotPermitted, and what mentions raises."""
    if not by.keeps_accounts:
        raise NotPermitted("Only a coordinator can have a player forgotten.")
    return mentions(folder, player)


def forget_player(
    folder: DataFolder,
    player: str,
    by: Reader,
    *,
    keeps_lines: bool,
    meant_in: Collection[str] = (),
    say: Say = lambda _: None,
    progress: Progress = lambda *_: None,
) -> Forgotten:
    """Forget a player on somebody's behalf. Raises NotPermitted, NotConfirmed, and what forget raises."""
    if not by.keeps_accounts:
        raise NotPermitted("Only a coordinator can have a player forgotten.")
    require_confirmed(by)
    forgotten = forget(folder, player, keeps_lines=keeps_lines, meant_in=meant_in, say=say, progress=progress)
    what_of_lines = f"kept as {forgotten.code}" if forgotten.code else "deleted"
    record_in(folder, Event.ERASURE, f"a player: lines {what_of_lines}, {forgotten.lines}", reader=by)
    return forgotten
