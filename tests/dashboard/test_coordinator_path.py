"""The coordinator's whole path in a real browser: drop, read, load, mend, and see the coach's board change."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from sql.folder import DataFolder
from sql.warehouse import ask
from tests.conftest import OpenBrowser
from tests.signing_in import cookie_of

pytestmark = pytest.mark.browser


FAULTY = """\
session_date,player,coach,block,setup,spin,length,balls,good,minutes
2025-03-12,CLEO,M. Roe,1,NC,backspin,short,30,20,5
2025-03-12,CLEO,M. Roe,2,NC,topsin,long,30,18,5
2025-03-12,CLOE,M. Roe,3,MR,topspin,long,30,18,5
2025-03-12,CLEO,M. Roe,4,MR,backspin,long,30,31,5
"""


@pytest.fixture
def page(open_browser: OpenBrowser) -> Iterator[Page]:
    page = open_browser(viewport={"width": 1280, "height": 1400}).new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    yield page
    assert asked
    outside = [url for url in asked if not url.startswith(("http://127.0.0.1:", "data:", "blob:"))]
    assert not outside, "the browser asked somebody outside this machine"


def drop(page: Page, name: str, content: bytes) -> None:
    page.locator("input[type=file]").set_input_files({"name": name, "mimeType": "text/csv", "buffer": content})


def board_row(page: Page, url: str, player: str) -> str:
    page.goto(f"{url}/board")
    row = page.locator("tr", has_text=player)
    expect(row).to_be_visible()
    return row.inner_text()


def batches(folder: DataFolder) -> int:
    return int(ask(folder, "select count(*) from core.batches").item())


def test_three_mistakes_are_read_mended_and_loaded_and_the_board_changes(
    small_club: DataFolder, served: Callable[[DataFolder], str], page: Page
) -> None:
    url = served(small_club)
    page.context.add_cookies([cookie_of(small_club, url)])  # type: ignore[list-item]
    before = batches(small_club)
    assert "no log yet" in board_row(page, url, "Cléo Marsh").lower() or "0 of 6" in board_row(page, url, "Cléo Marsh")

    page.goto(f"{url}/bring_in")
    drop(page, "week-11.csv", FAULTY.encode())
    expect(page.get_by_text("Verdict: nothing is stored yet")).to_be_visible()
    for told in ("use topspin", "use CLEO if that is meant", "count again: good may be at most balls"):
        expect(page.get_by_text(told).first).to_be_visible()
    assert batches(small_club) == before

    page.get_by_role("button", name="Load", exact=True).click()
    expect(page.get_by_text("1 line accepted, 3 lines refused")).to_be_visible()
    assert "1 of 6" in board_row(page, url, "Cléo Marsh")

    page.goto(url)
    with page.expect_download() as download:
        page.get_by_role("button", name="Refused lines as a file to mend").last.click()
    mended = Path(download.value.path()).read_text(encoding="utf-8-sig")
    for wrong, right in ((",topsin,", ",topspin,"), (",CLOE,", ",CLEO,"), (",30,31,", ",30,21,")):
        assert mended.count(wrong) == 1
        mended = mended.replace(wrong, right)

    page.goto(f"{url}/bring_in")
    drop(page, download.value.suggested_filename, mended.encode())
    page.get_by_role("button", name="Load", exact=True).click()
    expect(page.get_by_text("3 lines accepted, none refused")).to_be_visible()

    assert "4 of 6" in board_row(page, url, "Cléo Marsh")
    assert (
        ask(small_club, "select count(*) from core.refusals where not is_mended and file_name like 'week-11%'").item()
        == 0
    )
