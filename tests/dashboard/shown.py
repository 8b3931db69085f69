"""A page as its reader meets it: opened through the app, its words without the markup around them."""

import re
from functools import cache
from html import unescape
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from dashboard.serving import FOLDER_VARIABLE
from models.permits import Role
from sql.folder import DataFolder
from tests.signing_in import user_of

APP = Path(__file__).parents[2] / "dashboard" / "app.py"


@cache
def shown(folder: DataFolder, view: str, player: str | None = None) -> AppTest:
    """A page of a club as a person of it opens it, for one player if the address names one. Not for clicking.

    The page of a player is opened by that player, every other page by a coordinator.
    """
    return opened(folder, view, player)


def opened(folder: DataFolder, view: str, player: str | None = None, *, user: dict[str, str] | None = None) -> AppTest:
    """The same, opened anew, for clicking; by another person where one is given."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(FOLDER_VARIABLE, str(folder.path))
        app = AppTest.from_file(APP, default_timeout=120)
        if user is not None:
            app.user = user
        elif player is not None and view == "views/my_training.py":
            app.user = user_of(folder, player, Role.PLAYER, players=[player])
        else:
            app.user = user_of(folder)
        app.switch_page(view)
        if player is not None:
            app.query_params["player"] = player
            app.query_params["open"] = "all"
        return app.run()


def words(app: AppTest) -> str:
    """Everything the page says, in reading order by kind; tables as their texts, one space between."""
    said = [*app.title, *app.header, *app.subheader, *app.markdown, *app.caption, *app.info, *app.warning]
    texts = (plain(one.value) if one.value.startswith("<div") else one.value for one in said)
    return "\n".join([*texts, *(plain(one.value) for one in app.html)])


def html_of(app: AppTest) -> list[str]:
    """The HTML of the page itself, without that of the head, which is the first."""
    return [one.value for one in app.html[1:]]


def plain(html: str) -> str:
    """The text of HTML."""
    without_style = re.sub(r"<style>.*?</style>", "", html, flags=re.DOTALL)
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", without_style))).strip()


def rows(html: str) -> list[list[str]]:
    """The rows of an HTML table, each as the texts of its cells."""
    return [
        [plain(cell) for cell in re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, flags=re.DOTALL)]
        for row in re.findall(r"<tr[^>]*>(.*?)</tr>", html, flags=re.DOTALL)
    ]


def board_rows(app: AppTest) -> dict[str, list[str]]:
    """The board's rows under the player's name, without the group."""
    table = rows(html_of(app)[0])
    return {re.sub(r" (Competition|Club|Juniors|Minis|Seniors)$", "", row[0]): row[1:] for row in table if row}
