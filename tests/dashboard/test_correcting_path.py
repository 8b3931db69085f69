"""Twelve wrong lines corrected on the page in a real browser, counted in touches, on a desk and on a phone."""

from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from sql.folder import DataFolder
from sql.warehouse import ask
from tests.conftest import OpenBrowser
from tests.signing_in import cookie_of

pytestmark = [pytest.mark.browser, pytest.mark.proof]

WRONG = """\
session_date,player,block,setup,spin,length,balls,good
2025-03-18,ADA,1,NC,topspin,long,40,30
2025-03-18,BEN,1,CN,topspin,long,40,22
2025-03-18,BEN,2,CN,topspin,long,40,22
2025-03-18,BEN,3,CN,topspin,long,40,22
2025-03-18,BEN,4,CN,topspin,long,40,22
2025-03-18,CLEO,1,NC,bakspin,short,30,25
2025-03-18,CLEO,2,NC,bakspin,short,30,25
2025-03-18,CLEO,3,NC,bakspin,short,30,25
2025-03-18,CLOE,4,NC,topspin,long,30,25
2025-03-18,CLOE,5,NC,topspin,long,30,25
2025-03-18,ADA,2,NC,topspin,long,30,35
2025-03-18,ADA,3,NC,topspin,,30,25
total,,,,,,410,323
"""
MOST_TOUCHES = 10


@pytest.mark.parametrize("width", [1280, 390])
def test_twelve_wrong_lines_are_corrected_in_ten_touches_and_taken_back_in_one(
    width: int, small_club: DataFolder, served: Callable[[DataFolder], str], open_browser: OpenBrowser
) -> None:
    url = served(small_club)
    page = open_browser(viewport={"width": width, "height": 900}).new_page()
    page.context.add_cookies([cookie_of(small_club, url)])  # type: ignore[list-item]
    page.goto(f"{url}/bring_in")
    file = {"name": "week 12.csv", "mimeType": "text/csv", "buffer": WRONG.encode()}
    page.locator("input[type=file]").set_input_files(file)
    touches = ["drop"]

    def press(name: str) -> None:
        page.get_by_role("button", name=name, exact=True).first.click()
        touches.append(name)

    def type_into(field: str, value: str) -> None:
        page.get_by_label(field, exact=True).fill(value)
        page.get_by_label(field, exact=True).press("Enter")
        touches.append(field)

    for proposal in ("NC in all 4", "backspin in all 3", "CLEO in all 2"):
        press(proposal)
    type_into("good, line 12", "25")
    type_into("length, line 13", "long")
    expect(page.get_by_text("11 lines would come in").first).to_be_visible()
    page.get_by_text("Leave this line out for good").last.click()
    touches.append("leave out")
    page.get_by_role("button", name="a total, not a log").last.click()
    touches.append("a total")
    expect(page.get_by_text("11 lines would come in, 1 line would be left out for good.")).to_be_visible()
    press("Load")
    expect(page.get_by_text("11 lines came in and 1 line left out for good, as batch 7.")).to_be_visible()
    assert len(touches) <= MOST_TOUCHES
    week = "select balls, lines_refused from report.club_week where week = '2025-03-17'"
    assert ask(small_club, week).row(0) == (410, 0)

    page.get_by_role("button", name="Take it back (withdraw batch 7)").click()
    expect(page.get_by_text("as batch 7.")).to_have_count(0)
    assert ask(small_club, week).row(0) == (40, 12)
