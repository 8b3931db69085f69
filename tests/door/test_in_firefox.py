"""The main paths in a second engine: in by the door, from a card to a player, keys in a map, the week, the own page."""

import os
from collections.abc import Iterator

import pytest

from models.permits import Role
from tests.door.conftest import Served
from tests.door.test_in_a_browser import PASSWORD, give_password
from tests.firefox import Tab, firefox
from tests.signing_in import cookie_of

pytestmark = [pytest.mark.browser, pytest.mark.proof]

DRAWN = (
    "document.querySelector('[data-testid=stApp][data-test-script-state=notRunning]') && document.querySelector('h1')"
    " && document.querySelector('h1').innerText"
)
NO_SIDEWAYS = "document.documentElement.scrollWidth <= innerWidth"


@pytest.fixture(scope="module")
def tab(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Tab]:
    try:
        with firefox(tmp_path_factory.mktemp("firefox")) as opened:
            yield opened
    except FileNotFoundError:
        told = "no Firefox on this machine: the paths are tried in Chromium only"
        if os.environ.get("HALFLONG_BROWSER") == "required":
            pytest.fail(told)
        pytest.skip(told)


def comes_as(tab: Tab, served: Served, name: str, role: Role, width: int) -> None:
    tab.size(width, 844)
    tab.keep(cookie_of(served.folder, served.url, name, role))


@pytest.mark.parametrize("width", [1280, 390])
def test_somebody_comes_in_by_name_and_password(served: Served, tab: Tab, width: int) -> None:
    give_password(served.folder, "M. Roe")
    tab.size(width, 844)
    tab.ask("storage.deleteCookies")

    tab.go(f"{served.url}/needs")
    assert tab.wait_until("document.querySelector('h1').innerText") == "Sign in"
    tab.click("#name")
    tab.type(*"M. Roe")
    tab.click("#password")
    tab.type(*PASSWORD, "Enter")

    assert tab.wait_until(DRAWN) == "Who needs you?"
    assert tab.told(NO_SIDEWAYS)


@pytest.mark.parametrize("width", [1280, 390])
def test_a_card_leads_to_its_player(served: Served, tab: Tab, width: int) -> None:
    comes_as(tab, served, "M. Roe", Role.COACH, width)
    tab.go(f"{served.url}/needs")
    tab.wait_until(DRAWN)

    tab.click("[class*=st-key-hl-card-][class*=-ADA] a")
    tab.wait_until(f"({DRAWN}) === 'One player'")
    assert "Ada Lind" in tab.told("document.body.innerText")
    assert tab.told(NO_SIDEWAYS)


@pytest.mark.parametrize("width", [1280, 390])
def test_a_player_sees_the_own_map_and_the_next_ball(served: Served, tab: Tab, width: int) -> None:
    comes_as(tab, served, "Ada Lind", Role.PLAYER, width)
    tab.go(f"{served.url}/my_training")

    tab.wait_until("!!document.querySelector('.st-key-hl-card-next svg')")
    assert "of 6" in tab.told("document.querySelector('.hl-banner').innerText")
    assert tab.told("document.fonts.check('16px \"Sofia Sans\"')")
    assert tab.told(NO_SIDEWAYS)
