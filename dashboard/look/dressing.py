"""Streamlit's page as we serve it: our stylesheet, letters and script stand in its head from the first byte.

A style that comes with a page's own content comes late, and everything would jump.
"""

import re
from collections.abc import Callable, Collection
from functools import lru_cache, partial
from pathlib import Path

from anyio.to_thread import run_sync
from starlette.datastructures import MutableHeaders
from starlette.requests import Request
from starlette.responses import FileResponse, Response
from starlette.routing import Route
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from dashboard.look.stylesheet import BELOW, LETTERS, SCRIPT, address_of, address_of_sheet, stylesheet
from models.settings import Settings
from sql.folder import DataFolder, FolderProblem

_FOR_GOOD = {"cache-control": "public, max-age=31536000, immutable"}
"""Of what has another address as soon as it is another."""


def look_routes(folder: DataFolder) -> list[Route]:
    """The stylesheet, the letters and the script."""

    async def sheet(_request: Request) -> Response:
        return Response(stylesheet(await run_sync(club_colour, folder)), media_type="text/css", headers=_FOR_GOOD)

    return [
        Route(f"{BELOW}style.css", sheet),
        Route(f"{BELOW}{LETTERS.name}", partial(_file, LETTERS, "font/woff2")),
        Route(f"{BELOW}{SCRIPT.name}", partial(_file, SCRIPT, "text/javascript")),
    ]


async def _file(file: Path, kind: str, _request: Request) -> Response:
    return FileResponse(file, media_type=kind, headers=_FOR_GOOD)


def club_colour(folder: DataFolder) -> str:
    """The club's colour; that to begin with where the settings cannot be read, of which the page itself tells."""
    try:
        return folder.settings().club_colour
    except FolderProblem:
        return Settings().club_colour


class Dressed:
    """ASGI middleware: puts Streamlit's page into our head. Whatever has a policy of its own is a page of ours.

    Streamlit gives its page wherever it has nothing else: at an address that is not of `pages`, that is `nothing`.
    """

    def __init__(
        self,
        app: ASGIApp,
        folder: DataFolder,
        streamlit_page: str,
        pages: Collection[str],
        nothing: Callable[[str], Response],
    ) -> None:
        self._app = app
        self._folder = folder
        self._page = streamlit_page
        self._pages = pages
        self._nothing = nothing

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let through, or give the page in its dress."""
        if scope["type"] != "http" or scope["method"] not in ("GET", "HEAD"):
            return await self._app(scope, receive, send)
        is_page = False

        async def sending(message: Message) -> None:
            nonlocal is_page
            if message["type"] == "http.response.start" and _is_streamlits_page(message):
                is_page = True
                await self._give(scope, receive, send, message)
            elif not is_page:
                await send(message)

        return await self._app(scope, receive, sending)

    async def _give(self, scope: Scope, receive: Receive, send: Send, begun: Message) -> None:
        """The page in its dress; at an address of none of ours, that there is nothing."""
        if scope["path"] not in self._pages:
            nothing = await run_sync(self._nothing, scope["path"])
            return await nothing(scope, receive, send)
        page = dressed(self._page, await run_sync(club_colour, self._folder)).encode()
        await send(_begun(begun, page))
        return await send({"type": "http.response.body", "body": page if scope["method"] == "GET" else b""})


def _is_streamlits_page(start: Message) -> bool:
    headers = MutableHeaders(raw=list(start["headers"]))
    is_html = headers.get("content-type", "").startswith("text/html")
    return bool(start["status"] == 200 and is_html and "content-security-policy" not in headers)


def _begun(start: Message, page: bytes) -> Message:
    """The same answer for another body: nothing of how the old one was packed, or when it changed."""
    headers = MutableHeaders(raw=list(start["headers"]))
    for name in ("content-encoding", "etag", "last-modified"):
        if name in headers:
            del headers[name]
    headers["content-length"] = str(len(page))
    return {**start, "headers": headers.raw}


@lru_cache(maxsize=8)
def dressed(page: str, colour: str) -> str:
    """The page with our head."""
    head = (
        f'<link rel="preload" href="{address_of(LETTERS)}" as="font" type="font/woff2" crossorigin>'
        f'<link rel="stylesheet" href="{address_of_sheet(colour)}">'
        f'<script src="{address_of(SCRIPT)}" defer></script>'
    )
    without_other_letters = re.sub(r'<link\s+rel="preload"[^>]*as="font"[^>]*>', "", page)
    named = without_other_letters.replace("<title>Streamlit</title>", "<title>Halflong</title>")
    return named.replace("</head>", f"{head}</head>", 1)
