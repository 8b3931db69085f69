"""The plain pages of the door, held to WCAG by axe: on a desk and on a phone, light and dark."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, Route

from dashboard.door import pages
from dashboard.door.headers import OWN_PAGES
from dashboard.door.pages import Club
from dashboard.door.routes import LEAVING, PASSKEY, STYLE, TAB_PICTURE
from dashboard.look.stylesheet import LETTERS, stylesheet
from models.permits import EVERY_GROUP, Reader, Role
from sql.club.accounts import Account
from tests.door.served import ROOT, node_with
from tests.proofs import LOOKS, in_proof

pytestmark = pytest.mark.browser

CLUB = Club("Riverside Table Tennis Club", "your club account")
GUARDIAN = Account(1, "Otto Orr", Role.GUARDIAN, frozenset({"BEN", "EVA"}), frozenset(), True, False)
BROWSERS = [
    pages.Browser(1, "Firefox on Windows", "signed in 3 March 2026, 18:00, seen within the last hour", is_this=True),
    pages.Browser(
        2, "Safari on an iPhone", "signed in 1 March 2026, 9:05, last seen 2 March 2026, 9:10", is_this=False
    ),
]
NEWS = [
    (7, "Somebody signed in as you with a browser that was not known here: Safari on an iPhone, 1 March 2026, 9:05.")
]
COACH = Reader("M. Roe", Role.COACH, 2, groups=frozenset({EVERY_GROUP}))

SHOWN = {
    "sign-in": pages.sign_in(CLUB, "/board"),
    "wrong": pages.sign_in(CLUB, "/", name="Otto", wrong="The name or the password is not right."),
    "signed out": pages.sign_in(CLUB, "/", done="You are signed out."),
    "invitation": pages.invitation(CLUB, GUARDIAN, {"BEN": "Ben Orr"}, "token"),
    "weak": pages.invitation(
        CLUB, GUARDIAN, {"BEN": "Ben Orr"}, "token", wrong="The password: saw 5 characters, expected 10 to 200."
    ),
    "no invitation": pages.no_invitation(CLUB),
    "to the provider": pages.to_provider(CLUB, "#").replace('http-equiv="refresh"', 'name="not-now"'),
    "not known here": pages.not_known_here(CLUB),
    "provider failed": pages.provider_failed(CLUB),
    "account": pages.account(CLUB, (COACH, {}), BROWSERS, NEWS, has_password=True),
    "changed": pages.account(CLUB, (COACH, {}), BROWSERS[:1], [], has_password=True, done="The password is changed."),
    "is it you": pages.confirmation(CLUB, COACH.name, "/people", has_password=True, has_provider=True, wrong="Wrong."),
}

SOME = ("sign-in", "invitation", "account")
"""The pages that the default looks at."""

BESIDE = {
    "style.css": STYLE,
    "tab.svg": TAB_PICTURE,
    "leaving.js": LEAVING,
    "passkey.js": PASSKEY,
    LETTERS.name: LETTERS,
}
"""The files that the pages ask for."""


@pytest.fixture(scope="module")
def axe() -> str:
    node_with("axe-core")
    return Path(ROOT / "node_modules" / "axe-core" / "axe.min.js").read_text(encoding="utf-8")


@pytest.fixture(scope="module", params=LOOKS, ids=str)
def page(request: pytest.FixtureRequest, chromium: Browser) -> Iterator[Page]:
    """A browser that is served the pages as they are, with the style and the policy that belong to them."""
    width, scheme = request.param
    context = chromium.new_context(viewport={"width": width, "height": 844}, color_scheme=scheme)
    context.route("http://club.example/**", _answered)
    yield context.new_page()
    context.close()


def _answered(route: Route) -> None:
    name = route.request.url.rpartition("/")[2].partition("?")[0].replace("%20", " ")
    if "/look/style.css" in route.request.url:
        return route.fulfill(body=stylesheet(CLUB.colour), content_type="text/css")
    if name in BESIDE:
        return route.fulfill(path=BESIDE[name])
    policy = {"content-security-policy": OWN_PAGES}
    return route.fulfill(body=SHOWN[name], content_type="text/html; charset=utf-8", headers=policy)


@pytest.mark.parametrize("name", [name if name in SOME else in_proof(name) for name in SHOWN])
def test_axe_finds_nothing_and_nothing_scrolls_sideways(page: Page, axe: str, name: str) -> None:
    page.goto(f"http://club.example/{name}")
    page.evaluate(axe)
    found: dict[str, Any] = page.evaluate("axe.run({rules: {'target-size': {enabled: true}}})")
    faults = [f"{fault['id']}: {node['html']}" for fault in found["violations"] for node in fault["nodes"]]

    assert not faults
    assert len(found["passes"]) > 10, "axe has looked"
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def test_axe_would_find_a_field_without_its_words(page: Page, axe: str) -> None:
    """The check above must be able to fail."""
    page.goto("http://club.example/sign-in")
    page.evaluate(axe)
    page.evaluate("document.querySelector('label').remove()")
    found: dict[str, Any] = page.evaluate("axe.run()")

    assert "label" in {fault["id"] for fault in found["violations"]}
