"""One's own account: where one is signed in, what happened to it, and saying again who one is."""

import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from time import time

import pytest
from starlette.testclient import TestClient
from websockets.exceptions import ConnectionClosed

from dashboard.door.ended_sessions import SIGNED_OUT
from dashboard.door.provider import was_asked_anew
from dashboard.words.devices import device_in_words
from models.permits import Role
from sql.club import account_news, accounts, known_browsers, web_sessions
from sql.club.file import at, club_file
from sql.club.web_sessions import CONFIRMED_FOR
from sql.folder import DataFolder
from tests.door.conftest import Served
from tests.door.test_sign_in_flow import OURS, PASSWORD, events, is_in, link_for, sign_in
from tests.tabs import Tab, visitor

Knock = Callable[..., TestClient]

# Headers as these browsers send them, from memory.
FIREFOX = "Mozilla/5.0 (Windows NT 10.0; Win64; x64; rv:140.0) Gecko/20100101 Firefox/140.0"
IPHONE = (
    "Mozilla/5.0 (iPhone; CPU iPhone OS 18_5 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) Version/18.5 "
    "Mobile/15E148 Safari/604.1"
)
PIXEL = (
    "Mozilla/5.0 (Linux; Android 10; K) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/140.0.0.0 Mobile Safari/537.36"
)
EDGE = (
    "Mozilla/5.0 (Windows NT 10.0; Win64; x64) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/140.0.0.0 Safari/537.36 "
    "Edg/140.0.0.0"
)
MAC = (
    "Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7) AppleWebKit/605.1.15 (KHTML, like Gecko) Version/18.5 "
    "Safari/605.1.15"
)


def came_in(knock: Knock, folder: DataFolder, user_agent: str, name: str = "Ada Lind") -> TestClient:
    """A browser of this kind in which somebody has just signed in."""
    browser = knock(folder)
    browser.headers["user-agent"] = user_agent
    assert sign_in(browser, name).status_code == 303
    return browser


def sessions_on(page: str) -> list[str]:
    """The numbers of the sessions that the page offers to end."""
    return re.findall(r'name="session" value="(\d+)"', page)


def no_longer_confirmed(folder: DataFolder) -> None:
    long_ago = at(datetime.now(UTC) - CONFIRMED_FOR - timedelta(seconds=1))
    with club_file(folder) as connection:
        connection.execute("update web_sessions set confirmed_at = ?", [long_ago])


@pytest.mark.parametrize(
    ("said", "told"),
    [
        (FIREFOX, "Firefox on Windows"),
        (IPHONE, "Safari on an iPhone"),
        (PIXEL, "Chrome on Android"),
        (EDGE, "Edge on Windows"),
        (MAC, "Safari on a Mac"),
        ("", "a browser"),
        ("<script>alert(1)</script> Linux", "a browser on Linux"),
    ],
)
def test_a_device_is_named_in_our_words_alone(said: str, told: str) -> None:
    assert device_in_words(said) == told


def test_ones_own_sessions_stand_on_the_page_and_each_can_be_ended(
    club_with_password: DataFolder, knock: Knock
) -> None:
    laptop, phone = (came_in(knock, club_with_password, agent) for agent in (FIREFOX, IPHONE))
    page = laptop.get("/account").text.partition("Where you are signed in")[2]

    assert page.index("Firefox on Windows") < page.index("(this browser)") < page.index("Safari on an iPhone")
    assert page.count("seen within the last hour") >= 2
    (other,) = sessions_on(page)
    answer = laptop.post("/account/sign-out-there", headers=OURS, data={"session": other})
    assert "You are signed out there: Safari on an iPhone." in answer.text
    assert (is_in(laptop), is_in(phone)) == (True, False)
    assert [about for _, _, about in events(club_with_password)][-1] == "there: Safari on an iPhone"


@pytest.mark.parametrize("said", ["", "x", "-1", "9" * 30, "1 or 1=1", "²"])
def test_what_is_no_session_ends_none(club_with_password: DataFolder, knock: Knock, said: str) -> None:
    laptop = came_in(knock, club_with_password, FIREFOX)

    answer = laptop.post("/account/sign-out-there", headers=OURS, data={"session": said})

    assert answer.status_code == 422
    assert is_in(laptop)


def test_nobody_ends_the_session_of_another(club_with_password: DataFolder, knock: Knock) -> None:
    """Ben's friend knows the number: it is still not theirs to end."""
    ada, roe = came_in(knock, club_with_password, FIREFOX), came_in(knock, club_with_password, MAC, "M. Roe")
    with club_file(club_with_password) as connection:
        account = accounts.by_name(connection, "M. Roe")
        assert account is not None
        (roes,) = web_sessions.open_sessions(connection, account.account)

    answer = ada.post("/account/sign-out-there", headers=OURS, data={"session": str(roes.session)})

    assert "You were signed out there before." in answer.text
    assert is_in(roe)


def test_a_session_that_is_ended_closes_its_open_pages_within_seconds(served: Served) -> None:
    ada = visitor(served.folder, served.url, "Ada Lind", Role.PLAYER)
    roe = visitor(served.folder, served.url, "M. Roe", Role.COACH)
    with ada.tab() as tab, roe.tab() as other:
        assert tab.go("my_training").title == "My training"
        with club_file(served.folder) as connection:
            web_sessions.end_all(connection, ada.account)
        with pytest.raises(ConnectionClosed) as closed:
            _listen(tab)

        assert closed.value.rcvd is not None
        assert (closed.value.rcvd.code, closed.value.rcvd.reason) == (1008, SIGNED_OUT)
        assert other.go("needs").title == "Who needs you?"


def _listen(tab: Tab) -> None:
    """For as long as it is open."""
    while True:
        tab.connection.recv(timeout=60)


def test_a_sign_in_with_another_browser_is_told_in_those_that_were_known(
    club_with_password: DataFolder, knock: Knock
) -> None:
    laptop = came_in(knock, club_with_password, FIREFOX)
    assert "Somebody signed in as you" not in laptop.get("/account").text, "the first browser of all is no news"
    thief = came_in(knock, club_with_password, PIXEL)

    assert "Chrome on Android" in laptop.get("/account").text
    assert "Somebody signed in as you" not in thief.get("/account").text
    thief.post("/account/news", headers=OURS, data={"up_to": "999"})
    page = laptop.get("/account").text
    assert "Somebody signed in as you with a browser that was not known here: Chrome on Android" in page
    (number,) = re.findall(r'name="up_to" value="(\d+)"', page)
    laptop.post("/account/news", headers=OURS, data={"up_to": number})
    assert "Somebody signed in as you" not in laptop.get("/account").text


def test_a_browser_that_comes_back_is_no_news(club_with_password: DataFolder, knock: Knock) -> None:
    laptop, phone = (came_in(knock, club_with_password, agent) for agent in (FIREFOX, IPHONE))
    phone.post("/account/sign-out", headers=OURS)
    sign_in(phone)

    assert laptop.get("/account").text.count("Somebody signed in as you") == 1


def test_a_changed_password_is_told_where_one_signs_in_next(club_with_password: DataFolder, knock: Knock) -> None:
    laptop, phone = (came_in(knock, club_with_password, agent) for agent in (FIREFOX, IPHONE))
    new = {"password": PASSWORD, "new": "another long password", "again": "another long password"}
    laptop.post("/account/password", headers=OURS, data=new)
    assert not is_in(phone)
    sign_in(phone, password="another long password")

    assert "Your password was changed: Firefox on Windows" in phone.get("/account").text
    assert "Your password was changed" not in laptop.get("/account").text


def test_a_password_that_was_set_by_a_link_is_told_too(club_with_password: DataFolder, knock: Knock) -> None:
    came_in(knock, club_with_password, FIREFOX)
    thief, laptop = knock(club_with_password), knock(club_with_password)
    new = {"new": "another long password", "again": "another long password"}
    thief.post(link_for(club_with_password, "Ada Lind"), headers=OURS | {"user-agent": PIXEL}, data=new)
    laptop.post(link_for(club_with_password, "Ada Lind"), headers=OURS | {"user-agent": FIREFOX}, data=new)

    assert "A link was used to set your password: Chrome on Android" in laptop.get("/account").text


def test_what_was_told_for_a_month_is_told_no_more(club_with_password: DataFolder, knock: Knock) -> None:
    laptop = came_in(knock, club_with_password, FIREFOX)
    came_in(knock, club_with_password, PIXEL)
    with club_file(club_with_password) as connection:
        connection.execute("update account_news set happened_at = ?", [at(datetime.now(UTC) - timedelta(days=31))])

    assert "Somebody signed in as you" not in laptop.get("/account").text


def test_nobody_reads_the_news_of_another_account(club_with_password: DataFolder, knock: Knock) -> None:
    """A family shares one browser: what Ada has read is not read for Otto."""
    shared = came_in(knock, club_with_password, FIREFOX)
    came_in(knock, club_with_password, FIREFOX, "Otto Orr")
    came_in(knock, club_with_password, PIXEL, "Otto Orr")
    shared.post("/account/news", headers=OURS, data={"up_to": "999"})
    sign_in(shared, "Otto Orr")

    assert "Chrome on Android" in shared.get("/account").text


def test_a_fresh_sign_in_counts_for_minutes_and_then_the_password_is_asked_again(
    club_with_password: DataFolder, knock: Knock
) -> None:
    browser = came_in(knock, club_with_password, FIREFOX)
    assert browser.get("/account/confirm?next=%2Fprivacy").headers["location"] == "/privacy"
    no_longer_confirmed(club_with_password)
    page = browser.get("/account/confirm?next=%2Fprivacy")
    assert "Is it still you?" in page.text

    wrong = browser.post("/account/confirm", headers=OURS, data={"password": "guessed", "next": "/privacy"})
    assert wrong.status_code == 403
    assert browser.get("/account/confirm?next=%2Fprivacy").status_code == 200
    right = browser.post("/account/confirm", headers=OURS, data={"password": PASSWORD, "next": "/privacy"})
    assert (right.status_code, right.headers["location"]) == (303, "/privacy")
    assert browser.get("/account/confirm?next=%2Fprivacy").status_code == 303


def test_to_say_it_again_leads_nowhere_else_and_holds_for_one_session(
    club_with_password: DataFolder, knock: Knock
) -> None:
    browser, other = (came_in(knock, club_with_password, agent) for agent in (FIREFOX, IPHONE))
    no_longer_confirmed(club_with_password)
    said = {"password": PASSWORD, "next": "//evil.example/x"}

    assert browser.post("/account/confirm", headers=OURS, data=said).headers["location"] == "/"
    assert other.get("/account/confirm").status_code == 200


def test_a_guess_at_saying_it_again_is_slowed_down_like_any(club_with_password: DataFolder, knock: Knock) -> None:
    browser = came_in(knock, club_with_password, FIREFOX)
    no_longer_confirmed(club_with_password)
    said = {"password": "guessed", "next": "/"}
    assert browser.post("/account/confirm", headers=OURS, data=said).status_code == 403
    with club_file(club_with_password) as connection:
        keys = connection.execute("select of_sha256, at_s from failures").fetchall()
        connection.executemany("insert into failures values (?, ?)", [tuple(row) for row in keys] * 40)

    assert browser.post("/account/confirm", headers=OURS, data=said | {"password": PASSWORD}).status_code == 429


def test_a_clock_that_was_set_back_confirms_nobody_for_longer(folder: DataFolder) -> None:
    with club_file(folder) as connection:
        account = accounts.by_name(connection, "Ada Lind")
        assert account is not None
        token = web_sessions.begin(connection, account.account, web_sessions.WAY_PASSWORD)
        connection.execute("update web_sessions set confirmed_at = ?", [at(datetime.now(UTC) + timedelta(days=1))])
        signed_in = web_sessions.by_token(connection, token)

    assert signed_in is not None
    assert not signed_in.reader.is_confirmed


def test_a_session_from_before_news_were_kept_reads_those_of_its_account(folder: DataFolder) -> None:
    """The migration ties it to the browser that its account saw last."""
    with club_file(folder) as connection:
        account = accounts.by_name(connection, "Ada Lind")
        assert account is not None
        number = account.account
        token = web_sessions.begin(
            connection, number, "password", browser=known_browsers.remember(connection, number, ())
        )
        signed_in = web_sessions.by_token(connection, token)
        assert signed_in is not None
        account_news.tell(connection, number, account_news.What.ANOTHER_PASSWORD, "Firefox", "other")
        (news,) = account_news.untold(connection, signed_in.session)
        account_news.is_read(connection, signed_in.session, news.news)

        assert account_news.untold(connection, signed_in.session) == []


def test_every_field_of_a_password_hides_it_and_lets_a_keeper_fill_it(
    club_with_password: DataFolder, knock: Knock
) -> None:
    browser = came_in(knock, club_with_password, FIREFOX)
    no_longer_confirmed(club_with_password)
    stranger = knock(club_with_password)
    paths = {"/account": browser, "/account/confirm": browser, "/account/sign-in": stranger}
    paths[link_for(club_with_password, "M. Roe")] = stranger
    fields = [field for path, one in paths.items() for field in re.findall(r"<input[^>]*>", one.get(path).text)]
    secret = [field for field in fields if re.search(r'name="(password|new|again)"', field)]

    assert len(secret) == 7
    assert all('type="password"' in field for field in secret)
    assert all(re.search(r'autocomplete="(current|new)-password"', field) for field in secret)


def test_a_password_of_two_hundred_characters_is_taken(club_with_password: DataFolder, knock: Knock) -> None:
    browser = came_in(knock, club_with_password, FIREFOX)
    long = "otter lamp quarry violet " * 8
    said = {"password": PASSWORD, "new": long, "again": long}
    assert "The password is changed." in browser.post("/account/password", headers=OURS, data=said).text

    assert sign_in(knock(club_with_password), password=long).status_code == 303
    assert sign_in(knock(club_with_password), password=long[:-2]).status_code == 403


@pytest.mark.parametrize(("ago_s", "is_believed"), [(0, True), (299, True), (400, False), (None, False)])
def test_a_provider_that_did_not_ask_anew_is_not_believed(ago_s: int | None, is_believed: bool) -> None:
    """Where somebody says again who they are: OpenID Connect Core 1.0, 2, auth_time."""
    claims = {} if ago_s is None else {"auth_time": time() - ago_s}

    assert was_asked_anew(claims) is is_believed
