"""The address at which everything stored of one player is given out."""

from functools import partial
from urllib.parse import quote

from anyio import CapacityLimiter
from anyio.to_thread import run_sync
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from dashboard.door.checks import confirm_before
from dashboard.door.guard import client_address
from dashboard.door.headers import to_keep
from dashboard.door.routes import known
from dashboard.services.personal_data import take_away
from models.permits import NotConfirmed
from sql.folder import DataFolder

OFFERED_ON = "/privacy"
"""The page that offers it."""


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
        except NotConfirmed:
            return RedirectResponse(confirm_before(OFFERED_ON), 303)
        return Response(archive, media_type="application/zip", headers=to_keep(f"{player}.zip"))

    # A code may hold a slash.
    return [Route("/person/{player:path}.zip", give)]
