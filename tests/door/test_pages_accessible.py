"""Every page behind the door, held to WCAG by axe, and to stay where it is while it is drawn; keys inside a map."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from models.permits import Role
from sql.folder import DataFolder
from tests.conftest import OpenBrowser
from tests.door.conftest import Served
from tests.door.served import ROOT, node_with
from tests.jumps import GOOD, jumped
from tests.people import PEOPLE
from tests.signing_in import cookie_of
from tests.tabs import CHOOSING, PAGES

pytestmark = pytest.mark.browser

THE_TOOLKITS_OWN = {
    # Vega gives the marks of a chart a role and no words; the chart itself has them.
    "svg-img-alt": "",
    # Streamlit's place to drop files calls itself a presentation, and has a name all the same.
    "presentation-role-conflict": 'data-testid="stFileUploaderDropzone"',
}
"""Faults that only the toolkit can mend, and what must stand in the element for it to be one of those."""

SCREENS = [(1280, "light"), (1280, "dark"), (640, "light"), (390, "light"), (390, "dark")]
"""640 is what a desk of 1280 has at 200 %."""


@pytest.fixture(scope="module")
def axe() -> str:
    node_with("axe-core")
    return Path(ROOT / "node_modules" / "axe-core" / "axe.min.js").read_text(encoding="utf-8")


def faults_of(page: Page, axe: str) -> list[str]:
    """What axe finds that is ours."""
    page.evaluate(axe)
    found: dict[str, Any] = page.evaluate("axe.run({rules: {'target-size': {enabled: true}}})")
    assert len(found["passes"]) > 10, "axe has looked"
    return [
        f"{fault['id']}: {node['html'][:200]}"
        for fault in found["violations"]
        for node in fault["nodes"]
        if fault["id"] not in THE_TOOLKITS_OWN or THE_TOOLKITS_OWN[fault["id"]] not in node["html"]
    ]


def drawn(page: Page) -> None:
    expect(page.get_by_test_id("stApp")).to_have_attribute("data-test-script-state", "notRunning")
    expect(page.get_by_role("heading", level=1).first).to_be_visible()


def page_of(
    folder: DataFolder, url: str, open_browser: OpenBrowser, name: str, role: Role, width: int, scheme: str
) -> Page:
    """A page of somebody on a screen."""
    context = open_browser(viewport={"width": width, "height": 844}, color_scheme=scheme)
    context.add_cookies([cookie_of(folder, url, name, role)])  # type: ignore[list-item]
    return context.new_page()


def must_be_easy_to_read(page: Page, axe: str, url: str, role: Role, views: tuple[str, ...]) -> None:
    for view in views:
        page.goto(f"{url}/{view}" + ("?player=ADA" if role in CHOOSING else ""))
        drawn(page)
        assert (view, jumped(page)) < (view, GOOD)
        assert (view, faults_of(page, axe)) == (view, [])
        assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth"), view


@pytest.mark.parametrize(
    ("name", "role", "width", "scheme"),
    [
        ("M. Roe", Role.COACH, 1280, "light"),
        ("M. Roe", Role.COACH, 390, "dark"),
        ("Nora Quill", Role.COORDINATOR, 390, "light"),
        ("Ada Lind", Role.PLAYER, 390, "dark"),
        ("Otto Orr", Role.GUARDIAN, 1280, "dark"),
    ],
)
def test_axe_finds_nothing_and_little_jumps_on_the_page_that_somebody_begins_with(
    served: Served, open_browser: OpenBrowser, axe: str, name: str, role: Role, width: int, scheme: str
) -> None:
    page = page_of(served.folder, served.url, open_browser, name, role, width, scheme)

    must_be_easy_to_read(page, axe, served.url, role, PAGES[role][:1])


@pytest.mark.proof
@pytest.mark.parametrize(("width", "scheme"), SCREENS)
@pytest.mark.parametrize(("name", "role"), [person[:2] for person in PEOPLE])
def test_axe_finds_nothing_and_little_jumps_on_any_page(
    served: Served, open_browser: OpenBrowser, axe: str, name: str, role: Role, width: int, scheme: str
) -> None:
    page = page_of(served.folder, served.url, open_browser, name, role, width, scheme)

    must_be_easy_to_read(page, axe, served.url, role, PAGES[role])


def test_a_card_leads_to_its_player_in_one_click_and_the_head_names_the_place(
    served: Served, open_browser: OpenBrowser
) -> None:
    page = page_of(served.folder, served.url, open_browser, "M. Roe", Role.COACH, 390, "light")
    page.goto(served.url)
    drawn(page)
    here = page.get_by_role("navigation", name="Pages").locator("[aria-current=page]")
    expect(here).to_have_text("Needs")
    assert page.get_by_role("navigation", name="Pages").locator("a:visible, button:visible").count() <= 4

    card = page.get_by_role("link", name="Ada Lind")
    box = card.evaluate(
        "link => { const b = link.closest('[class*=st-key-hl-card-]').getBoundingClientRect(); "
        "return [b.right - 12, b.bottom - 12]; }"
    )
    page.mouse.click(*box)
    expect(page.get_by_role("heading", name="Ada Lind")).to_be_visible()
    expect(page.locator(".st-key-hl-card-feed").get_by_text("head ").first).to_be_visible()
    expect(here).to_have_text("Players")


MAP_PAGE = """<!doctype html><html lang="en"><title>Map</title><link rel="stylesheet" href="/look/style.css">
<script src="/look/look.js" defer></script><main><h1>Map</h1><a href="#">before</a>%s<a href="#">after</a></main>"""


@pytest.fixture
def map_page(open_browser: OpenBrowser) -> Iterator[Page]:
    """A map of 54 balls on a page of its own, with the stylesheet and the script that every page has."""
    from dashboard.drawings.ball_map import ball_map
    from dashboard.look.stylesheet import SCRIPT, stylesheet
    from tests.dashboard.test_drawings import USUAL, grid

    context = open_browser(viewport={"width": 800, "height": 700})
    shown = MAP_PAGE % ball_map(grid(USUAL), 560)
    context.route("http://club.example/", lambda route: route.fulfill(body=shown, content_type="text/html"))
    context.route("**/look.js", lambda route: route.fulfill(path=SCRIPT))
    context.route("**/style.css", lambda route: route.fulfill(body=stylesheet("#2E4A8C"), content_type="text/css"))
    page = context.new_page()
    page.goto("http://club.example/")
    yield page
    context.unroute_all()


def test_a_map_is_one_stop_of_the_tab_key_arrow_keys_lead_on_and_escape_hides_the_words(map_page: Page) -> None:
    focused = "document.activeElement.getAttribute('aria-label') ?? document.activeElement.textContent"
    words = map_page.locator(".hl-tip")
    map_page.get_by_text("before").focus()
    map_page.keyboard.press("Tab")
    first = map_page.evaluate(focused)
    expect(words).to_have_text(first)

    map_page.keyboard.press("ArrowDown")
    below = map_page.evaluate(focused)
    assert (below.split(", ")[:3], below != first) == (first.split(", ")[:3], True)
    map_page.keyboard.press("Escape")
    expect(words).to_be_hidden()
    map_page.keyboard.press("Tab")
    assert map_page.evaluate(focused) == "after"
    map_page.keyboard.press("Shift+Tab")
    assert map_page.evaluate(focused) == below


def test_axe_finds_nothing_on_a_map(map_page: Page, axe: str) -> None:
    assert faults_of(map_page, axe) == []
