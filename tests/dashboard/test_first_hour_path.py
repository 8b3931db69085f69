"""A new club's first hour in a real browser, on a desk and on a phone: five steps, then the board."""

from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Page, expect

from sql.folder import DataFolder
from tests.conftest import OpenBrowser
from tests.dashboard.test_first_hour import MOST_TOUCHES, TWELVE
from tests.signing_in import cookie_of

pytestmark = [pytest.mark.browser, pytest.mark.proof]

PATIENCE_MS = 60_000


class Finger:
    """Touches what is on the page, and counts."""

    def __init__(self, page: Page) -> None:
        self.page, self.touches = page, 0

    def button(self, name: str) -> None:
        self.page.get_by_role("button", name=name, exact=True).first.click()
        self.touches += 1

    def word(self, word: str) -> None:
        """One of the words of which one holds."""
        self.page.get_by_role("radio", name=word, exact=True).first.click()
        self.touches += 1

    def field(self, label: str, text: str) -> None:
        """A field is touched, typed into, and left."""
        field = self.page.get_by_role("textbox", name=label)
        field.fill(text)
        field.press("Tab")
        self.touches += 2

    def choice(self, label: str, option: str) -> None:
        self.page.get_by_role("combobox", name=label).click()
        self.page.get_by_role("option", name=option).first.click()
        self.touches += 2

    def link(self, name: str) -> None:
        self.page.get_by_role("link", name=name).first.click()
        self.touches += 1

    def sees(self, words: str) -> None:
        expect(self.page.get_by_text(words).first).to_be_visible(timeout=PATIENCE_MS)


def first_hour(page: Page, url: str) -> Iterator[tuple[str, int]]:
    """Each step as it stands when it is done, with the touches so far."""
    finger = Finger(page)
    page.goto(url)
    finger.sees("0 of 5 steps done")
    yield "begin", finger.touches
    finger.field("Name of the club *", "Riverside Table Tennis")
    finger.button("Save name and colour")
    finger.sees("1 of 5 steps done")
    yield "players", finger.touches
    finger.field("New players, a line for each", TWELVE)
    finger.sees("Save 12 players")
    yield "grid", finger.touches
    finger.button("Save 12 players")
    finger.sees("2 of 5 steps done")
    for place in ("centre (BC)", "centre (NC)", "backhand (NB)"):
        finger.button(place)
    yield "places", finger.touches
    finger.button("Save 3 places")
    finger.sees("3 of 5 steps done")
    yield "mix", finger.touches
    finger.button("Save this mix")
    finger.sees("4 of 5 steps done")
    yield "log", finger.touches
    finger.link("Write one block")
    finger.choice("Player *", "Mara Brook")
    finger.choice("Setup *", "back centre")
    finger.word("backspin")
    finger.word("long")
    for label, count in (("Balls *", "30"), ("Good (balls) *", "18")):
        page.get_by_role("spinbutton", name=label, exact=True).fill(count)
        finger.touches += 1
    finger.button("Save this block")
    finger.sees("The block is in the log")
    page.goto(f"{url}/board")
    finger.touches += 1
    expect(page.locator("tr", has_text="Mara Brook")).to_be_visible(timeout=PATIENCE_MS)
    yield "board", finger.touches


@pytest.mark.parametrize("width", [1280, 390])
def test_the_first_hour_of_a_club_is_walked_through(
    empty_club: DataFolder, served: Callable[[DataFolder], str], open_browser: OpenBrowser, width: int
) -> None:
    url = served(empty_club)
    page = open_browser(viewport={"width": width, "height": 900}).new_page()
    page.context.add_cookies([cookie_of(empty_club, url)])  # type: ignore[list-item]

    *_, (_, touches) = first_hour(page, url)

    assert touches <= MOST_TOUCHES
