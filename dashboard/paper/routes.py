"""The addresses of the pages on paper. All of them stand behind the guard, which knows who asks."""

from collections.abc import Callable
from functools import partial

from anyio import CapacityLimiter
from anyio.to_thread import run_sync
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from dashboard.door.guard import client_address
from dashboard.door.headers import to_keep
from dashboard.door.routes import known
from dashboard.door.settings import read_door
from dashboard.paper.making import (
    Made,
    club_week_made,
    hall_plan_made,
    plan_sheet_made,
    player_page_made,
    session_sheet_made,
)
from dashboard.questions import Desk
from sql.folder import DataFolder

AT_ONCE = 2
"""Setting a page in type keeps a processor busy for some hundredths of a second."""

Make = Callable[..., Made]
PLANS, HALLS = "/paper/plan/", "/paper/hall/"


def paper_routes(folder: DataFolder) -> list[Route]:
    """A player's page and plan, the club's week, a hall's plan, and the session sheets."""
    at_once = CapacityLimiter(AT_ONCE)

    def giving(make: Make) -> Callable[[Request], object]:
        async def give(request: Request) -> Response:
            desk = Desk(folder, known(request).reader)
            asked = request.path_params.get("asked", "")
            making = partial(make, desk, asked, client_address(request.scope), **_of_a_plan(folder, request))
            made = await run_sync(making, limiter=at_once)
            return Response(made.pdf, media_type="application/pdf", headers=to_keep(f"{made.file_name}.pdf"))

        return give

    return [
        # A code may hold a slash.
        Route(f"{PLANS}{{asked:path}}.pdf", giving(plan_sheet_made)),
        Route("/paper/player/{asked:path}.pdf", giving(player_page_made)),
        Route("/paper/club-week/{asked}.pdf", giving(club_week_made)),
        Route(f"{HALLS}{{asked:path}}.pdf", giving(hall_plan_made)),
        Route("/paper/session-sheet.pdf", giving(session_sheet_made)),
        Route("/paper/group-sheet.pdf", giving(partial(session_sheet_made, players=6))),
    ]


def _of_a_plan(folder: DataFolder, request: Request) -> dict[str, str]:
    """What is asked of a plan beside whose it is: for which paper, and under which address phones reach this server."""
    if not request.url.path.startswith((PLANS, HALLS)):
        return {}
    reached_at = read_door(folder).settings.public_url or str(request.base_url).rstrip("/")
    return {"club_address": reached_at, "size": request.query_params.get("paper", "a4")}
