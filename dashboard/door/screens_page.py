"""The page that a browser opens for every screen: Streamlit's own, told where the server is.

Streamlit's script takes each part of the address for a place where the server might be, and asks there first: for every
screen but the first page that would be two questions that nobody answers, before it begins.
"""

from pathlib import Path

from starlette.requests import Request
from starlette.responses import HTMLResponse
from starlette.routing import Route

from dashboard.door.checks import PAGE_ADDRESSES

WHERE_THE_SERVER_IS = 'window.__streamlit = { BACKEND_BASE_URL: location.origin + "/" }'
"""Read by Streamlit's script, which must come later."""


def screens_page(streamlit_page: Path) -> str:
    """The page as it is handed out."""
    before, first_script, after = streamlit_page.read_text(encoding="utf-8").partition("<script>")
    return f"{before}<script>{WHERE_THE_SERVER_IS}</script>\n    {first_script}{after}"


def screen_routes(streamlit_page: Path) -> list[Route]:
    """One for each screen's address."""
    page = screens_page(streamlit_page)

    async def hand_out(_request: Request) -> HTMLResponse:
        return HTMLResponse(page)

    return [Route(address, hand_out) for address in sorted(PAGE_ADDRESSES - {"/table", "/account"})]
