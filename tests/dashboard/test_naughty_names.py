"""A club whose people, setups, notes and files are called by the Big List of Naughty Strings: its pages, unharmed.

Source and licence of the list: tests/naughty/README.md.
"""

import csv
import io
import json
from collections import Counter
from collections.abc import Callable
from datetime import date
from html.parser import HTMLParser
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from streamlit.testing.v1 import AppTest

from ingest.loading import Incoming, load
from models.shapes import BLANKS
from sql.folder import DataFolder
from sql.warehouse import ask
from tests.conftest import OpenBrowser
from tests.dashboard.shown import opened, plain
from tests.proofs import in_proof
from tests.signing_in import cookie_of

LIST: list[str] = json.loads((Path(__file__).parents[1] / "naughty" / "blns.json").read_text("utf-8"))
NAUGHTY = sorted(
    {text.strip(BLANKS) for text in LIST if len(text) <= 40 and set(text) & set("<>&*_`[]$\\{}|~#\"'=+-@\u202e\u2066")}
)[::3]
PLAIN = [f"Plain {at}" for at in range(len(NAUGHTY))]
OURS = ("http://127.0.0.1:", "data:", "blob:")
PAGES = ("club_week", "batches", "board", "one_player", "next_session", "setups", "write_block", "my_training")
SOME = ("club_week", "one_player")
"""The pages that the default looks at."""


def table(*rows: list[str]) -> bytes:
    text = io.StringIO()
    csv.writer(text).writerows(rows)
    return text.getvalue().encode()


def club_of(names: list[str], folder: DataFolder) -> DataFolder:
    """Everything that can have a name has one of these; the second line of the week is refused."""
    codes = [f"N{at}" for at in range(len(names))]
    week = ["session_date", "player", "coach", "setup", "spin", "length", "balls", "good", "note", "effort", "minutes"]
    lines = [
        ["2026-05-04", code, name, f"S{at}", "backspin", "short", "40", "30", name, "4", "5"]
        for at, (code, name) in enumerate(zip(codes, names, strict=True))
    ]
    wrong = [["2026-05-05", names[3], names[4], names[5], names[6], "short", "40", "30", names[7], "", ""]]
    people = zip(codes, names, names, strict=True)
    places = zip((f"S{at}" for at in range(len(names))), names, names, strict=True)
    files = {
        "players.csv": table(["player", "name", "group", "handedness"], *([*person, "right"] for person in people)),
        "setups.csv": table(["setup", "name", "note", "x_cm", "y_cm"], *([*place, "-20", "0"] for place in places)),
        "targets.csv": table(
            ["target", "applies_to", "dimension", "value", "share"],
            *([names[2], "*", "depth", depth, "1"] for depth in ("back", "near")),
        ),
        f"{names[1]}.csv": table(week, *lines, *wrong),
    }
    load(folder, [Incoming(name, content) for name, content in files.items()], names[0], today=date(2026, 5, 6))
    return folder


@pytest.fixture(scope="module")
def naughty(tmp_path_factory: pytest.TempPathFactory) -> DataFolder:
    """Only to be looked at."""
    return club_of(NAUGHTY, DataFolder(tmp_path_factory.mktemp("naughty") / "club"))


@pytest.fixture(scope="module")
def innocent(tmp_path_factory: pytest.TempPathFactory) -> DataFolder:
    """The same club with plain names."""
    return club_of(PLAIN, DataFolder(tmp_path_factory.mktemp("innocent") / "club"))


class Elements(HTMLParser):
    """The elements of a page with the names of their attributes, counted."""

    def __init__(self, app: AppTest) -> None:
        super().__init__()
        self.counted: Counter[tuple[str, tuple[str, ...]]] = Counter()
        for html in app.html:
            self.feed(html.value)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.counted[tag, tuple(sorted(name for name, _ in attrs))] += 1


def page(club: DataFolder, view: str) -> AppTest:
    player = "N9" if view in ("one_player", "next_session", "my_training") else None
    return opened(club, f"views/{view}.py", player)


@pytest.mark.parametrize("view", [view if view in SOME else in_proof(view) for view in PAGES])
def test_a_page_has_no_other_elements_than_with_plain_names(
    view: str, naughty: DataFolder, innocent: DataFolder
) -> None:
    """What somebody typed never becomes a part of the page; and no page falls over it."""
    shown, expected = page(naughty, view), page(innocent, view)

    assert not shown.exception
    assert Elements(shown).counted == Elements(expected).counted


def test_the_board_has_every_name_as_it_was_typed(naughty: DataFolder) -> None:
    shown = " ".join(plain(html.value) for html in page(naughty, "board").html)

    assert [name for name in NAUGHTY if " ".join(name.split()) not in shown] == []
    assert ask(naughty, "select count(*) from core.players").item() == len(NAUGHTY)


def raw_downloads(tab: Page, url: str) -> int:
    """How often a table offers its raw cells as CSV, which a spreadsheet would run (OWASP, "CSV Injection")."""
    tab.goto(url)
    tab.get_by_test_id("stDataFrame").first.hover()
    expect(tab.get_by_role("button", name="Search").first).to_be_visible()
    return tab.get_by_role("button", name="Download").count()


@pytest.mark.proof
@pytest.mark.browser
def test_a_browser_shows_the_names_as_text_and_neither_runs_them_nor_lets_a_spreadsheet_do_so(
    naughty: DataFolder, served: Callable[[DataFolder], str], open_browser: OpenBrowser
) -> None:
    url = served(naughty)
    context = open_browser(viewport={"width": 1280, "height": 1400})
    context.add_cookies([cookie_of(naughty, url)])  # type: ignore[list-item]
    tab, run = context.new_page(), []
    tab.on("dialog", lambda dialog: (run.append(dialog.message), dialog.dismiss()))
    tab.on("request", lambda request: run.append(request.url) if not request.url.startswith(OURS) else None)

    for view in ("club_week", "setups", "one_player?player=N9", "board"):
        tab.goto(f"{url}/{view}")
        expect(tab.get_by_role("heading", level=1)).to_be_visible()
        expect(tab.get_by_test_id("stStatusWidget")).to_have_count(0)
    expect(tab.locator("table").first).to_be_visible()
    shown = " ".join(tab.locator("table").first.text_content().split())
    downloads = raw_downloads(tab, f"{url}/audit_trail")

    assert run == []
    assert downloads == 0
    assert [name for name in NAUGHTY if " ".join(name.split()) not in shown] == []
