"""The coordinator's pages on a phone: 390 CSS pixels wide, in a real browser."""

import pytest
from playwright.sync_api import expect

from sql.folder import DataFolder
from tests.conftest import OpenBrowser
from tests.signing_in import cookie_of

pytestmark = [pytest.mark.browser, pytest.mark.proof]

WIDTHS = "[document.documentElement, document.querySelector('[data-testid=stMain]')].map(e => e.scrollWidth)"


PAGES = {
    "": "The weeks as a table",
    "write_block": "Save this block",
    "type_sheet": "An empty sheet for six players (PDF)",
    "bring_in": "The columns of the players file",
    "batches": "Withdraw batch 5",
    "next_session?player=ADA": "Before you move or touch a feeder",
    "people": "Look at one account",
    "audit_trail": "The latest 500 entries at most",
}
"""Each page, and the last thing that it shows."""


def test_no_page_of_the_coordinator_scrolls_sideways_on_a_phone(
    small_club_served: tuple[DataFolder, str], open_browser: OpenBrowser
) -> None:
    """Wide tables scroll in a frame of their own; what one reads and fills in fits."""
    folder, url = small_club_served
    context = open_browser(viewport={"width": 390, "height": 844})
    context.add_cookies([cookie_of(folder, url)])  # type: ignore[list-item]
    page = context.new_page()

    widths = {}
    for path, last in PAGES.items():
        page.goto(f"{url}/{path}")
        expect(page.get_by_text(last).first).to_be_visible()
        widths[path] = page.evaluate(WIDTHS)

    assert set(map(tuple, widths.values())) == {(390, 390)}
