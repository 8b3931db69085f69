"""All that is stored of one person: taken away, or erased. Each is noted in the trail."""

from functools import partial
from urllib.parse import quote

from anyio import CapacityLimiter
from anyio.to_thread import run_sync
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route

from dashboard.door.guard import client_address
from dashboard.door.headers import to_keep
from dashboard.door.player_archive import player_archive
from dashboard.door.routes import known
from dashboard.door.trail import Event, note, note_in
from models.permits import NotPermitted, Reader
from models.shapes import Code
from sql.build import Progress
from sql.club_file import club_file
from sql.folder import DataFolder, FolderProblem
from sql.forgetting import Forgotten, NobodyStored, forget
from sql.holding import Say

EVERYTHING = "everything stored of this player"


def take_away(
    folder: DataFolder, player: str, by: Reader, *, address: str | None = None, say: Say = lambda _: None
) -> bytes:
    """The zip of everything that is stored of a player. Raises NotPermitted, and what player_archive raises."""
    if not by.may_take_away(player):
        note_in(folder, Event.REFUSAL, EVERYTHING, reader=by, player=player[: Code.longest])
        raise NotPermitted("What is stored of this player is given to the player, a guardian and a coordinator only.")
    archive = player_archive(folder, player, say)
    with club_file(folder) as connection:
        note(connection, Event.EXPORT, EVERYTHING, reader=by, player=player, address=address)
    return archive


def forget_player(
    folder: DataFolder,
    player: str,
    by: Reader,
    *,
    keeps_lines: bool,
    say: Say = lambda _: None,
    progress: Progress = lambda *_: None,
) -> Forgotten:
    """Forget a player on somebody's behalf. Raises NotPermitted, and what forget raises."""
    if not by.keeps_accounts:
        raise NotPermitted("Only a coordinator can have a player forgotten.")
    forgotten = forget(folder, player, keeps_lines=keeps_lines, say=say, progress=progress)
    what_of_lines = f"kept as {forgotten.code}" if forgotten.code else "deleted"
    note_in(folder, Event.ERASURE, f"a player: lines {what_of_lines}, {forgotten.lines}", reader=by)
    return forgotten


def archive_path(player: str) -> str:
    """The address at which everything stored of a player is given out."""
    return f"/person/{quote(player, safe='')}.zip"


def person_routes(folder: DataFolder) -> list[Route]:
    """The address behind the guard, which knows who asks."""
    one_at_a_time = CapacityLimiter(1)  # It waits for whoever writes, and reads the whole log.

    async def give(request: Request) -> Response:
        player, who = request.path_params["player"], known(request).reader
        taking = partial(take_away, folder, player, who, address=client_address(request.scope))
        try:
            archive = await run_sync(taking, limiter=one_at_a_time)
        except NotPermitted as refusal:
            return PlainTextResponse(str(refusal), 403)
        except NobodyStored as problem:
            return PlainTextResponse(str(problem), 404)
        except FolderProblem as problem:
            return PlainTextResponse(str(problem), 503)
        return Response(archive, media_type="application/zip", headers=to_keep(f"{player}.zip"))

    # A code may hold a slash.
    return [Route("/person/{player:path}.zip", give)]
