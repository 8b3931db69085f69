"""Sign-in with a real OpenID Connect provider on this machine, in a real browser."""

import shutil
from collections.abc import Iterator
from contextlib import ExitStack

import pytest
from playwright.sync_api import Page, expect

from dashboard.door.settings import SECRET_VARIABLE
from dashboard.serving import free_port
from models.permits import Role, owner
from sql.club import accounts, audit_trail
from sql.club.file import club_file
from sql.folder import DataFolder
from tests.conftest import OpenBrowser
from tests.door.conftest import Served, link_for
from tests.door.served import provider, screens

pytestmark = [pytest.mark.browser, pytest.mark.proof]

SECRET = "a secret of the tests only"


@pytest.fixture(scope="module")
def served(loaded_club: DataFolder, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    place = tmp_path_factory.mktemp("provider")
    folder = DataFolder(place / "club")
    shutil.copytree(loaded_club.path, folder.path)
    its_port, port = free_port("127.0.0.1"), free_port("127.0.0.1")
    folder.settings_file.write_text(
        f'[door.provider]\nname = "Lirrow ID"\nissuer = "http://127.0.0.1:{its_port}"\nclient_id = "halflong-tests"\n',
        encoding="utf-8",
    )
    with ExitStack() as servers:
        back = f"http://127.0.0.1:{port}/account/provider/back"
        servers.enter_context(provider(its_port, back, SECRET, place / "provider.log"))
        secret = {SECRET_VARIABLE: SECRET}
        url = servers.enter_context(screens(folder, place / "screens.log", port, **secret))
        yield Served(folder, url)


@pytest.fixture
def page(open_browser: OpenBrowser) -> Page:
    return open_browser().new_page()


def vouched_as(page: Page, name: str) -> None:
    """Give the provider a name, and agree that it tells us."""
    page.get_by_placeholder("Enter any login").fill(name)
    page.get_by_placeholder("and password").fill("any")
    page.get_by_role("button", name="Sign-in").click()
    page.get_by_role("button", name="Continue").click()


def noted(folder: DataFolder) -> list[tuple[str | None, str]]:
    with club_file(folder) as connection:
        return [(entry.name, entry.about) for entry in audit_trail.entries(connection, owner("test"), 100)]


def test_a_link_ties_a_person_to_an_account_and_from_then_on_the_provider_suffices(served: Served, page: Page) -> None:
    page.goto(served.url + link_for(served.folder, "Ada Lind"))
    page.get_by_role("button", name="Use Lirrow ID instead").click()
    vouched_as(page, "ada-at-the-provider")
    page.locator(".st-key-hl-who button").click()
    expect(page.get_by_role("dialog").get_by_text("Ada Lind")).to_be_visible()
    page.get_by_role("button", name="Sign out").click()
    expect(page.get_by_text("You are signed out.")).to_be_visible()

    page.goto(f"{served.url}/setups")
    page.get_by_role("button", name="Sign in with Lirrow ID").click()
    page.locator(".st-key-hl-who button").click()
    expect(page.get_by_role("dialog").get_by_text("Ada Lind")).to_be_visible()
    assert page.url == f"{served.url}/setups"
    with club_file(served.folder) as connection:
        account = accounts.by_name(connection, "Ada Lind")
    assert account is not None
    assert account.role is Role.PLAYER, "whatever the provider says of roles"
    assert ("Ada Lind", "by provider") in noted(served.folder)


def test_a_stranger_with_a_valid_sign_in_stays_outside(served: Served, page: Page) -> None:
    page.goto(f"{served.url}/my_training")
    page.get_by_role("button", name="Sign in with Lirrow ID").click()
    vouched_as(page, "somebody-else")

    expect(page.get_by_role("heading", name="You have no account here")).to_be_visible()
    assert not any("halflong-" in cookie["name"] for cookie in page.context.cookies())
    assert (None, "sign-in by provider: nobody we know") in noted(served.folder)
    page.goto(f"{served.url}/my_training")
    assert "/account/sign-in" in page.url


@pytest.mark.parametrize("answer", ["", "?error=access_denied", "?code=made-up&state=made-up"])
def test_an_answer_that_nobody_asked_the_provider_for_lets_nobody_in(served: Served, page: Page, answer: str) -> None:
    response = page.goto(f"{served.url}/account/provider/back{answer}")

    assert response is not None
    assert response.status == 403
    expect(page.get_by_text("Nothing has happened. Try again.")).to_be_visible()
