"""From a plan of the hall to the coach's page that shows it done: in a browser, under a thumb, with the network cut."""

import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from dashboard import questions
from dashboard.paper.addresses import table_station
from dashboard.questions import owners_desk
from ingest.loading import load
from sql.club.file import club_file
from sql.folder import DataFolder
from tests.at_table.conftest import add_accounts
from tests.at_table.hall import CUT, OPEN, Network, Server, Thumb, phone, until
from tests.dashboard.conftest import SMALL_CLUB, incoming

pytestmark = [pytest.mark.browser, pytest.mark.proof]

COACH_OF_ALL = 2
TARGETS = SMALL_CLUB["targets.csv"] + "first,*,length,short,1\nfirst,*,length,long,1\n"
"""With a length, as the log needs one: a planned ball has all that must be said of it."""


@pytest.fixture
def club_today(tmp_path: Path) -> DataFolder:
    """The small club, with accounts, as of today."""
    folder = DataFolder(tmp_path / "club")
    load(folder, incoming(SMALL_CLUB | {"targets.csv": TARGETS}), "test", today=date(2025, 3, 12))
    with club_file(folder) as connection:
        add_accounts(connection)
    return folder


@pytest.fixture
def served(club_today: DataFolder, tmp_path: Path) -> Iterator[tuple[DataFolder, Network]]:
    """Served, behind a network that can be cut."""
    logs = tmp_path / "logs"
    logs.mkdir()
    server = Server(club_today, logs)
    try:
        yield club_today, Network(server.port)
    finally:
        server.kill()


def gaps_of(folder: DataFolder, player: str) -> list[dict[str, str | None]]:
    return [dict(gap.words) for gap in questions.feed_next(owners_desk(folder), player, date.today(), 400)]  # noqa: DTZ011


def touched(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).tap()


def test_a_plan_is_made_counted_with_dead_wifi_and_shown_as_done_with_its_gap_gone(
    served: tuple[DataFolder, Network], chromium: Browser
) -> None:
    folder, network = served
    context = phone(chromium, folder, network.url, COACH_OF_ALL)
    page = context.new_page()
    page.goto(f"{network.url}/hall")
    touched(page, "Keep this plan")
    expect(page.get_by_text("The plan is kept.")).to_be_visible()

    page.goto(table_station(network.url, "18:00", 1))
    expect(page.locator("#station")).to_have_value("18:00/1")
    turn = page.locator("#in-turn button").first
    said = turn.inner_text()
    player = {"Ada Lind": "ADA", "Ben Orr": "BEN"}[re.search(r"Ada Lind|Ben Orr", said)[0]]
    before = gaps_of(folder, player)
    turn.tap()
    thumb = Thumb(page)
    for ball in range(30):
        if ball in (10, 20):
            network.turn(CUT if ball == 10 else OPEN)
        thumb.tap("good")
    expect(page.locator("#count")).to_contain_text("30 of 30")
    expect(page.locator("#sync-status")).to_have_text("All saved")
    touched(page, "Block done")
    touched(page, "Save the block")
    expect(page.locator("#in-turn button").first).not_to_have_text(said.split("\n")[0])

    with club_file(folder) as connection:
        state = "select state from table_blocks"
        until(lambda: connection.execute(state).fetchone()["state"] == "in_log", "the block is in the log")
    page.goto(f"{network.url}/hall")
    expect(page.get_by_text(re.compile(r"1 of \d+ turns done"))).to_be_visible()
    assert len(gaps_of(folder, player)) == len(before) - 1
    context.close()
