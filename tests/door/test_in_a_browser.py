"""The door in a real browser, against the screens as they are served."""

import re

import pytest
from playwright.sync_api import BrowserContext, Page, Response, expect

from dashboard.door import passwords
from dashboard.door.settings import read_door
from dashboard.services.accounts import INVITATION_PATH
from models.permits import Role, owner
from sql.club import accounts, audit_trail
from sql.club.audit_trail import Event
from sql.club.file import club_file
from sql.folder import DataFolder
from tests.conftest import OpenBrowser
from tests.door.conftest import Served, link_for
from tests.door.test_guard import must_be_guarded
from tests.signing_in import PASSWORD, cookie_of

pytestmark = pytest.mark.browser

OTHERS = ("Ben Orr", "Cléo Marsh", "Dan Voss")
"""The players who are not Ada."""


@pytest.fixture
def browser_of(open_browser: OpenBrowser, served: Served) -> OpenBrowser:
    """A browser of its own, with the cookie of somebody or of nobody."""

    def opened(name: str | None = None, **options: object) -> BrowserContext:
        context = open_browser(**options)
        if name:
            context.add_cookies([cookie_of(served.folder, served.url, name, Role.PLAYER)])  # type: ignore[list-item]
        return context

    return opened


def give_password(folder: DataFolder, name: str) -> None:
    with club_file(folder) as connection:
        account = accounts.by_name(connection, name)
        assert account is not None
        accounts.keep_password_hash(connection, account.account, passwords.hashed(PASSWORD))


def noted(folder: DataFolder, event: Event) -> list[tuple[str | None, str]]:
    with club_file(folder) as connection:
        return [(entry.name, entry.about) for entry in audit_trail.entries(connection, owner("test"), 1000, event)]


def drawn(page: Page) -> str:
    """Everything that the page says once it is drawn."""
    expect(page.get_by_test_id("stApp")).to_have_attribute("data-test-script-state", "notRunning")
    expect(page.get_by_role("heading", level=1).first).to_be_visible()
    return page.locator("body").inner_text()


def open_own_menu(page: Page, initials: str) -> None:
    """Who one is, and the way out."""
    page.get_by_role("button", name=initials, exact=True).click()


def follow(page: Page, title: str) -> None:
    """Go to a page by the head: where it has no place of its own there, behind "More"."""
    places = page.get_by_role("navigation", name="Pages")
    own = places.get_by_role("link", name=SHORT.get(title, title), exact=True)
    if own.count() == 0:
        places.get_by_role("button", name="More").click()
        own = page.get_by_role("link", name=title, exact=True)
    own.click()


SHORT = {"Bring in logs": "Bring in"}
"""What the head calls pages for short."""


def is_signed_in(page: Page, url: str) -> bool:
    page.goto(f"{url}/my_training")
    return "/account/sign-in" not in page.url


def test_a_link_lets_in_a_reload_keeps_and_a_sign_out_ends_it_for_good(served: Served, browser_of: OpenBrowser) -> None:
    context = browser_of()
    page = context.new_page()
    link = link_for(served.folder, "Ada Lind")
    page.goto(served.url + link)
    page.get_by_label("New password").fill(PASSWORD)
    page.get_by_label("The same again").fill(PASSWORD)
    page.get_by_role("button", name="Come in").click()
    expect(page.get_by_role("heading", name="My training")).to_be_visible()
    open_own_menu(page, "AL")
    expect(page.get_by_role("dialog").get_by_text("Ada Lind")).to_be_visible()
    cookies = {one["name"]: one for one in context.cookies() if one["name"].startswith("halflong-")}
    assert set(cookies) == {(signed_in := read_door(served.folder).cookie_name), f"{signed_in}-known"}
    assert {(one["httpOnly"], one["sameSite"]) for one in cookies.values()} == {(True, "Lax")}

    page.reload()
    expect(page.get_by_role("heading", name="My training")).to_be_visible()
    open_own_menu(page, "AL")
    page.get_by_role("button", name="Sign out").click()
    expect(page.get_by_text("You are signed out.")).to_be_visible()
    assert not is_signed_in(page, served.url)

    thief = browser_of()
    thief.add_cookies([{"name": name, "value": one["value"], "url": served.url} for name, one in cookies.items()])
    assert not is_signed_in(thief.new_page(), served.url), "the old cookies, played again"
    page.goto(served.url + link)
    expect(page.get_by_role("heading", name="This link is no longer good")).to_be_visible()


@pytest.mark.proof
def test_a_tab_that_is_still_open_gets_nothing_more_after_a_sign_out_elsewhere(
    served: Served, browser_of: OpenBrowser
) -> None:
    context = browser_of("Nora Quill")
    open_tab, other_tab = context.new_page(), context.new_page()
    open_tab.goto(f"{served.url}/one_player?player=ADA")
    expect(open_tab.get_by_role("heading", name="Ada Lind")).to_be_visible()
    other_tab.goto(f"{served.url}/account")
    other_tab.get_by_role("button", name="Sign out", exact=True).click()
    expect(other_tab.get_by_text("You are signed out.")).to_be_visible()

    open_tab.get_by_role("link", name="Week").click()  # Its socket was closed: nothing comes of it.
    open_tab.reload()
    expect(open_tab.get_by_role("heading", name="Sign in")).to_be_visible()
    assert not any(name in open_tab.content() for name in ("Ada Lind", *OTHERS))


@pytest.mark.proof
def test_the_address_that_a_stranger_wanted_is_where_the_sign_in_leads(served: Served, browser_of: OpenBrowser) -> None:
    give_password(served.folder, "M. Roe")
    page = browser_of().new_page()
    page.goto(f"{served.url}/one_player?player=BEN")
    page.get_by_label("Your name here").fill("m. roe")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in", exact=True).click()

    expect(page.get_by_role("heading", name="Ben Orr")).to_be_visible()
    assert page.url == f"{served.url}/one_player?player=BEN"


@pytest.mark.proof
def test_a_file_of_one_browser_is_closed_to_every_other(served: Served, browser_of: OpenBrowser) -> None:
    coordinator, player, stranger = browser_of("Nora Quill"), browser_of("Ada Lind"), browser_of()
    page = coordinator.new_page()
    with page.expect_response(re.compile("/media/[0-9a-f]{32}")) as shown:
        page.goto(f"{served.url}/club_week")
    address = shown.value.url

    assert coordinator.request.get(address).status == 200
    assert player.request.get(address).status == 403
    assert stranger.request.get(address).status == 401


@pytest.mark.proof
def test_the_page_to_print_is_given_to_its_player_and_to_no_other(served: Served, browser_of: OpenBrowser) -> None:
    ada, otto, stranger = browser_of("Ada Lind"), browser_of("Otto Orr"), browser_of()
    page = ada.new_page()
    page.goto(f"{served.url}/my_training")
    with page.expect_download() as given:
        page.get_by_role("link", name="This as a page to print (PDF)").click()

    assert given.value.path().read_bytes().startswith(b"%PDF-")
    assert given.value.url == f"{served.url}/paper/player/ADA.pdf"
    assert otto.request.get(given.value.url).status == 403
    assert ada.request.get(f"{served.url}/paper/player/BEN.pdf").status == 403
    assert "/account/sign-in" in stranger.request.get(given.value.url).url


@pytest.mark.proof
def test_a_name_that_a_browser_puts_on_itself_changes_nothing(served: Served, browser_of: OpenBrowser) -> None:
    with club_file(served.folder) as connection:
        nora = accounts.by_name(connection, "Nora Quill")
        session = connection.execute("select session from web_sessions limit 1").fetchone()
    assert nora is not None
    forged = {"x-halflong-account": str(nora.account), "x-halflong-session": str(session[0] if session else 1)}
    stranger = browser_of(extra_http_headers=forged).new_page()
    ada = browser_of("Ada Lind", extra_http_headers=forged).new_page()

    assert not is_signed_in(stranger, served.url)
    ada.goto(f"{served.url}/people")
    expect(ada.get_by_text("This page is not open to you.")).to_be_visible()
    open_own_menu(ada, "AL")
    expect(ada.get_by_role("dialog").get_by_text("Ada Lind")).to_be_visible()


@pytest.mark.proof
def test_a_form_on_another_site_does_nothing_here(served: Served, browser_of: OpenBrowser) -> None:
    context = browser_of("Ada Lind")
    page = context.new_page()
    form = f'<form method="post" action="{served.url}/account/sign-out-everywhere"><button>Win</button></form>'
    context.route("http://elsewhere.example/", lambda route: route.fulfill(body=form, content_type="text/html"))
    page.goto("http://elsewhere.example/")
    with page.expect_navigation() as gone:
        page.get_by_role("button", name="Win").click()

    assert gone.value.status == 403
    assert is_signed_in(page, served.url)


SOCKET = """url => new Promise(told => {
    const socket = new WebSocket(url, ['streamlit']);
    socket.onopen = () => told('open');
    socket.onclose = () => told('closed');
})"""


@pytest.mark.proof
def test_a_websocket_is_opened_from_our_own_signed_in_pages_only(served: Served, browser_of: OpenBrowser) -> None:
    socket = served.url.replace("http", "ws") + "/_stcore/stream"
    ada, stranger = browser_of("Ada Lind"), browser_of().new_page()
    own, foreign = ada.new_page(), ada.new_page()
    own.goto(f"{served.url}/my_training")
    stranger.goto(f"{served.url}/account/sign-in")
    ada.route("http://elsewhere.example/", lambda route: route.fulfill(body="<p>x", content_type="text/html"))
    foreign.goto("http://elsewhere.example/")

    assert [page.evaluate(SOCKET, socket) for page in (own, stranger, foreign)] == ["open", "closed", "closed"]


COMPLAINING = ("error", "warning")

IN_THE_MENU = ("What came in", "Coverage board", "Setups", "Write a block", "People", "Audit trail", "Bring in logs")
BY_ADDRESS = ("account", "table", "my_training", "one_player?player=ADA", "next_session?player=ADA", "club_week")
"""Pages of a coordinator, the last of which leads to the menu."""


@pytest.mark.proof
def test_every_answer_is_guarded_and_no_page_breaks_under_the_policy(served: Served, browser_of: OpenBrowser) -> None:
    page = browser_of("Nora Quill").new_page()
    answers: list[Response] = []
    complaints: list[str] = []
    page.on("response", lambda answer: answers.append(answer))  # noqa: PLW0108 - the driver marks what it is given
    page.on("console", lambda one: complaints.append(f"{one.text} {one.location}") if one.type in COMPLAINING else None)
    page.on("pageerror", lambda error: complaints.append(str(error)))
    for path in BY_ADDRESS:
        page.goto(f"{served.url}/{path}")
        if path not in ("account", "table"):
            drawn(page)
    for title in IN_THE_MENU:
        follow(page, title)
        expect(page.get_by_role("heading", level=1, name=title)).to_be_visible()
        drawn(page)
    page.locator("input[type=file]").set_input_files(
        {"name": "week.csv", "mimeType": "text/csv", "buffer": b"session_date,player\n2025-03-12,ADA\n"}
    )
    expect(page.get_by_text("Verdict: nothing is stored yet")).to_be_visible()

    assert complaints == []
    assert len(answers) > 100
    for answer in answers:
        if answer.url.startswith(served.url):
            must_be_guarded(answer.headers)
    outside = {one.url for one in answers if not one.url.startswith((served.url, "data:", "blob:"))}
    assert outside == set()


@pytest.mark.proof
def test_a_coordinator_invites_somebody_and_sees_in_the_trail_that_they_came(
    served: Served, browser_of: OpenBrowser
) -> None:
    page, guest = browser_of("Nora Quill").new_page(), browser_of().new_page()
    page.goto(f"{served.url}/people")
    page.get_by_text("Invite somebody").click()
    page.get_by_label("Name to sign in with").fill("Second coordinator")
    page.get_by_label("Name to sign in with").press("Enter")
    page.get_by_role("radio", name="coordinator").click()
    page.get_by_role("button", name="Make the account and a link").click()
    alone, in_a_message = page.get_by_test_id("stCode").first, page.get_by_test_id("stCode").last
    link = alone.inner_text().strip()
    assert link.startswith(served.url + INVITATION_PATH)
    expect(in_a_message).to_contain_text(link)

    guest.goto(link)
    guest.get_by_label("New password").fill(PASSWORD)
    guest.get_by_label("The same again").fill(PASSWORD)
    guest.get_by_role("button", name="Come in").click()
    open_own_menu(guest, "SC")
    expect(guest.get_by_text("Second coordinator, coordinator")).to_be_visible()
    assert noted(served.folder, Event.SIGN_IN)[0] == ("Second coordinator", "by invitation")
    assert ("Nora Quill", "Second coordinator, coordinator") in noted(served.folder, Event.INVITATION)


@pytest.mark.proof
def test_whoever_guesses_is_slowed_down(served: Served, browser_of: OpenBrowser) -> None:
    """The last test of this server: others come from the same address."""
    give_password(served.folder, "Otto Orr")
    page = browser_of().new_page()
    page.goto(f"{served.url}/account/sign-in")
    status = 0
    for guess in range(12):
        page.get_by_label("Your name here").fill("Otto Orr")
        page.get_by_label("Password").fill(f"guess number {guess}")
        with page.expect_navigation() as answered:
            page.get_by_role("button", name="Sign in", exact=True).click()
        status = answered.value.status
        if status == 429:
            break

    assert status == 429
    expect(page.get_by_role("alert")).to_contain_text("too many wrong tries. Wait")
    assert read_door(served.folder).cookie_name not in {cookie["name"] for cookie in page.context.cookies()}


@pytest.mark.proof
def test_a_browser_that_is_left_keeps_no_names_and_loses_no_ball_that_waits(
    served: Served, browser_of: OpenBrowser
) -> None:
    """What a phone keeps for the hall without a network: whoever has it next finds no names of the club there."""
    page = browser_of("Nora Quill").new_page()
    page.goto(f"{served.url}/table")
    expect(page.locator("#player")).to_contain_text("Ada Lind")
    page.evaluate(
        """() => {
            localStorage.setItem("halflong.table.club.1.waits", '{"entries": [{"saved": true}, {"saved": false}]}');
            localStorage.setItem("halflong.table.club.1.saved", '{"entries": [{"saved": true}]}');
            sessionStorage.setItem("seen", "Ada Lind");
        }"""
    )
    assert "Ada Lind" in page.evaluate("JSON.stringify(localStorage)")
    page.goto(f"{served.url}/account")
    page.get_by_role("button", name="Sign out", exact=True).click()
    expect(page.get_by_text("You are signed out.")).to_be_visible()
    page.wait_for_load_state()

    assert page.evaluate("Object.keys(localStorage)") == ["halflong.table.club.1.waits"]
    assert page.evaluate("sessionStorage.length") == 0
