"""The answer at an address where there is nothing."""

from starlette.responses import PlainTextResponse, Response

from dashboard.door import pages
from dashboard.door.checks import NOT_PAGES
from dashboard.door.pages import Club
from dashboard.door.routes import shown
from sql.folder import DataFolder


def nothing_here(folder: DataFolder, path: str) -> Response:
    """A page for a reader, a sentence for a program."""
    if path.startswith(NOT_PAGES):
        return PlainTextResponse("There is nothing here.", 404)
    return shown(pages.nothing_here(Club(folder.settings().club_name)), 404)
