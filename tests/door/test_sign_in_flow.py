"""What the plain pages of the door do: signing in and out, coming in by a link, another password."""

from collections.abc import Callable
from html.parser import HTMLParser

import pytest
from starlette.testclient import TestClient

from dashboard.door.checks import safe_next
from dashboard.door.settings import read_door
from dashboard.services.accounts import INVITATION_PATH
from models.permits import owner
from sql.club import accounts, audit_trail, failures, invitations, known_browsers, web_sessions
from sql.club.audit_trail import Event
from sql.club.file import club_file
from sql.folder import DataFolder
from tests.door.conftest import HERE
from tests.signing_in import PASSWORD

Knock = Callable[..., TestClient]

OURS = {"origin": HERE}


def sign_in(browser: TestClient, name: str = "Ada Lind", password: str = PASSWORD, wanted: str = "/"):
    return browser.post("/account/sign-in", headers=OURS, data={"name": name, "password": password, "next": wanted})


def link_for(folder: DataFolder, name: str) -> str:
    with club_file(folder) as connection:
        account = accounts.by_name(connection, name)
        assert account is not None
        return INVITATION_PATH + invitations.invite(connection, account.account)


def is_in(browser: TestClient) -> bool:
    return browser.get("/my_training").status_code == 200


def events(folder: DataFolder) -> list[tuple[Event, str | None, str]]:
    """What was noted, the earliest first."""
    with club_file(folder) as connection:
        found = audit_trail.entries(connection, owner("test"), 100)
    return [(entry.event, entry.name, entry.about) for entry in reversed(found)]


def test_with_name_and_password_one_is_in_and_where_one_wanted(club_with_password: DataFolder, knock: Knock) -> None:
    browser = knock(club_with_password)
    answer = sign_in(browser, wanted="/one_player?player=ADA")

    assert (answer.status_code, answer.headers["location"]) == (303, "/one_player?player=ADA")
    assert is_in(browser)
    assert events(club_with_password) == [(Event.SIGN_IN, "Ada Lind", "by password")]


def test_the_cookie_is_out_of_reach_of_scripts_and_of_other_sites(club_with_password: DataFolder, knock: Knock) -> None:
    cookies = sign_in(knock(club_with_password)).headers.get_list("set-cookie")

    assert len(cookies) == 2, "the session, and what the browser is known by"
    assert all({"HttpOnly", "SameSite=lax", "Path=/"} <= set(cookie.split("; ")) for cookie in cookies)
    assert f"Max-Age={90 * 24 * 3600}" in cookies[0]


@pytest.mark.parametrize(
    ("name", "password"),
    [
        ("Ada Lind", "wrong horse battery"),
        ("Nobody", PASSWORD),
        ("", ""),
        ("Ada Lind", ""),
        ("Ada Lind", PASSWORD * 50),
    ],
)
def test_a_wrong_name_and_a_wrong_password_are_told_alike(
    club_with_password: DataFolder, knock: Knock, name: str, password: str
) -> None:
    browser = knock(club_with_password)
    answer = sign_in(browser, name, password)

    assert answer.status_code == 403
    assert "The name or the password is not right." in answer.text
    assert "set-cookie" not in answer.headers
    assert not is_in(browser)


def test_an_account_that_nobody_has_come_into_has_no_password_to_guess(folder: DataFolder, knock: Knock) -> None:
    assert [sign_in(knock(folder), password=word).status_code for word in ("", "None", PASSWORD)] == [403, 403, 403]


def test_a_wrong_password_is_noted_but_never_what_was_typed(club_with_password: DataFolder, knock: Knock) -> None:
    sign_in(knock(club_with_password), password="wrong horse battery")
    sign_in(knock(club_with_password), name="my secret is here")

    assert events(club_with_password) == [
        (Event.REFUSAL, None, "sign-in as Ada Lind: not the password"),
        (Event.REFUSAL, None, "sign-in with a name that no account has: not the password"),
    ]


def test_guessing_is_slowed_down_and_then_even_the_right_password_waits(
    club_with_password: DataFolder, knock: Knock
) -> None:
    browser = knock(club_with_password)
    assert sign_in(browser, password="a wrong guess").status_code == 403
    with club_file(club_with_password) as connection:  # As after so many more guesses from the same place.
        happened = connection.execute("select of_sha256, at_s from failures").fetchall()
        connection.executemany("insert into failures values (?, ?)", [tuple(row) for row in happened] * 12)
    right = sign_in(browser)

    assert right.status_code == 429
    assert int(right.headers["retry-after"]) > 60
    assert "too many wrong tries. Wait" in right.text
    assert not is_in(browser)


def test_a_browser_that_was_signed_in_before_passes_whatever_others_guess(
    club_with_password: DataFolder, knock: Knock
) -> None:
    """Wrong tries as a weapon: whoever knows a name keeps its person out, from the same place too."""
    own, other, elsewhere = (knock(club_with_password) for _ in range(3))
    sign_in(own)
    own.post("/account/sign-out", headers=OURS)
    with club_file(club_with_password) as connection:
        for _ in range(60):
            failures.begin_attempt(connection, "Ada Lind", "testclient")
        keys = connection.execute("select of_sha256, at_s from failures").fetchall()
        connection.executemany("insert into failures values (?, ?)", [tuple(row) for row in keys] * 12)

    assert sign_in(other).status_code == 429
    assert sign_in(own).status_code == 303
    assert sign_in(elsewhere, "M. Roe").status_code == 429, "the address is held up for names it never signed in"


def test_a_known_browser_is_forgotten_where_the_account_is_signed_out_everywhere(
    club_with_password: DataFolder, knock: Knock
) -> None:
    browser = knock(club_with_password)
    sign_in(browser)
    kept = browser.cookies[f"{read_door(club_with_password).cookie_name}-known"]
    with club_file(club_with_password) as connection:
        ada = accounts.by_name(connection, "Ada Lind")
        assert ada is not None
        assert known_browsers.known_to(connection, ada.account, [kept]) == kept
    browser.post("/account/sign-out-everywhere", headers=OURS)

    with club_file(club_with_password) as connection:
        assert known_browsers.known_to(connection, ada.account, [kept]) is None


def test_a_browser_that_a_family_shares_is_known_to_each_of_them(club_with_password: DataFolder, knock: Knock) -> None:
    browser = knock(club_with_password)
    for name in ("Ada Lind", "Otto Orr", "Ada Lind"):
        assert sign_in(browser, name).status_code == 303
    kept = browser.cookies[f"{read_door(club_with_password).cookie_name}-known"].split(".")

    with club_file(club_with_password) as connection:
        known = [accounts.by_name(connection, name) for name in ("Ada Lind", "Otto Orr", "M. Roe")]
        found = [known_browsers.known_to(connection, one.account, kept) for one in known if one]
    assert len(kept) == 2
    assert [bool(token) for token in found] == [True, True, False]
    assert found[0] != found[1], "one token would tell each the other's"


@pytest.mark.parametrize(
    "wanted",
    [
        *("https://elsewhere.example", "//elsewhere.example", "/\\elsewhere.example", "javascript:alert(1)"),
        *("/a\nlocation: x", "elsewhere", "", "/account/sign-out", "/" + "x" * 600, "\t//elsewhere.example"),
        *("///elsewhere.example", "////elsewhere.example", "/.//elsewhere.example", "/board//elsewhere.example"),
        *("/board?x=\n", "/no_such_page", "/_stcore/health", "/board#//elsewhere.example", "/board?" + "x" * 600),
        *("/frame", "/drawn", "/page_choices"),  # what pages are made of
    ],
)
def test_after_the_sign_in_nobody_is_led_elsewhere(wanted: str) -> None:
    assert safe_next(wanted) == "/"


@pytest.mark.parametrize("wanted", ["/", "/board", "/one_player?player=ADA", "/table?block=3", "/account"])
def test_after_the_sign_in_one_is_led_to_the_page_that_was_wanted(wanted: str) -> None:
    assert safe_next(wanted) == wanted


def test_signing_in_as_somebody_else_ends_the_session_before(club_with_password: DataFolder, knock: Knock) -> None:
    browser = knock(club_with_password)
    sign_in(browser)
    name = read_door(club_with_password).cookie_name
    before = browser.cookies[name]
    sign_in(browser, "M. Roe")

    assert browser.cookies[name] != before
    with club_file(club_with_password) as connection:
        assert web_sessions.by_token(connection, before) is None


def test_a_cookie_that_was_planted_before_the_sign_in_is_worth_nothing_after_it(
    club_with_password: DataFolder, knock: Knock
) -> None:
    """Session fixation: the token after a sign-in is always a new one."""
    browser = knock(club_with_password)
    name = read_door(club_with_password).cookie_name
    browser.cookies.set(name, "planted" * 7)
    sign_in(browser)
    with club_file(club_with_password) as connection:
        assert web_sessions.by_token(connection, "planted" * 7) is None


def test_after_signing_out_the_old_cookie_opens_nothing(club_with_password: DataFolder, knock: Knock) -> None:
    browser = knock(club_with_password)
    sign_in(browser)
    name = read_door(club_with_password).cookie_name
    token = browser.cookies[name]
    answer = browser.post("/account/sign-out", headers=OURS)

    assert (answer.status_code, answer.headers["location"]) == (303, "/account/sign-in?out")
    assert "storage" not in answer.headers["clear-site-data"], "taps that wait on a phone must survive"
    browser.cookies.set(name, token)
    assert not is_in(browser)


def test_signing_out_everywhere_ends_every_session_of_the_account_and_no_other(
    club_with_password: DataFolder, knock: Knock
) -> None:
    phone, laptop, coach = (knock(club_with_password) for _ in range(3))
    sign_in(phone)
    sign_in(laptop)
    sign_in(coach, "M. Roe")
    phone.post("/account/sign-out-everywhere", headers=OURS)

    assert [is_in(browser) for browser in (phone, laptop, coach)] == [False, False, True]
    assert events(club_with_password)[-1] == (Event.SIGN_OUT, "Ada Lind", "everywhere: 2")


def test_a_link_lets_its_person_in_once_and_their_password_from_then_on(folder: DataFolder, knock: Knock) -> None:
    link = link_for(folder, "Ada Lind")
    first, second, third = (knock(folder) for _ in range(3))
    new = {"new": PASSWORD, "again": PASSWORD}
    assert "lets you in as Ada Lind, player ADA." in first.get(link).text

    assert first.post(link, headers=OURS, data=new).headers["location"] == "/"
    assert is_in(first)
    assert second.post(link, headers=OURS, data=new).status_code == 410
    assert second.get(link).status_code == 410
    assert not is_in(second)
    sign_in(third)
    assert is_in(third)
    assert [(event, about) for event, _, about in events(folder)] == [
        (Event.SIGN_IN, "by invitation"),
        (Event.SIGN_IN, "by password"),
    ]


@pytest.mark.parametrize(
    ("new", "again", "told"),
    [
        ("short", "short", "saw 5 characters, expected 10 to 200"),
        (PASSWORD, PASSWORD + "s", "not the same"),
        ("", "", "saw 0 characters"),
        ("aaaaaaaaaaaaaa", "aaaaaaaaaaaaaa", "easy to guess"),
    ],
)
def test_a_password_that_is_not_taken_leaves_the_link_good(
    folder: DataFolder, knock: Knock, new: str, again: str, told: str
) -> None:
    browser, link = knock(folder), link_for(folder, "Ada Lind")
    answer = browser.post(link, headers=OURS, data={"new": new, "again": again})

    assert answer.status_code == 422
    assert told in answer.text
    assert browser.get(link).status_code == 200


def test_a_program_that_opens_every_link_of_a_mail_does_not_use_it_up(folder: DataFolder, knock: Knock) -> None:
    link = link_for(folder, "Ada Lind")
    assert [knock(folder).get(link).status_code for _ in range(3)] == [200, 200, 200]
    assert knock(folder).head(link).status_code == 200

    assert knock(folder).post(link, headers=OURS, data={"new": PASSWORD, "again": PASSWORD}).status_code == 303


def test_a_new_link_signs_out_everywhere_once_it_is_used(club_with_password: DataFolder, knock: Knock) -> None:
    """Whoever asks for a new link may have lost a phone."""
    lost, found = knock(club_with_password), knock(club_with_password)
    sign_in(lost)
    link = link_for(club_with_password, "Ada Lind")
    assert is_in(lost)
    found.post(link, headers=OURS, data={"new": "another long password", "again": "another long password"})

    assert (is_in(lost), is_in(found)) == (False, True)
    assert sign_in(knock(club_with_password)).status_code == 403


def test_another_password_needs_the_one_until_now_and_signs_out_everywhere_else(
    club_with_password: DataFolder, knock: Knock
) -> None:
    here, elsewhere = knock(club_with_password), knock(club_with_password)
    sign_in(here)
    sign_in(elsewhere)
    new = {"new": "another long password", "again": "another long password"}
    assert here.post("/account/password", headers=OURS, data={"password": "guessed", **new}).status_code == 403
    assert is_in(elsewhere)

    answer = here.post("/account/password", headers=OURS, data={"password": PASSWORD, **new})
    assert "The password is changed." in answer.text
    assert (is_in(here), is_in(elsewhere)) == (True, False)
    assert sign_in(knock(club_with_password), password="another long password").status_code == 303


def test_a_name_that_looks_like_markup_is_shown_as_it_is(folder: DataFolder, knock: Knock) -> None:
    with club_file(folder) as connection:
        connection.execute("update accounts set name = '<script>x</script>\"&' where name = 'Ada Lind'")
        account = accounts.by_name(connection, "Ada Lind")
        assert account is not None
        link = INVITATION_PATH + invitations.invite(connection, account.account)
    told = _Told()
    told.feed(knock(folder).get(link).text)

    assert told.scripts == ["/account/leaving.js"], "our own, and none of the name"
    assert any('<script>x</script>"&' in text for text in told.texts)


class _Told(HTMLParser):
    """The scripts, by their addresses, and the texts of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.scripts: list[str | None] = []
        self.texts: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "script":
            self.scripts.append(dict(attrs).get("src"))

    def handle_data(self, data: str) -> None:
        self.texts.append(data)


@pytest.mark.parametrize("path", ["/account/sign-in", "/account/invitation/x", "/account"])
def test_the_plain_pages_hold_nothing_inline_and_ask_nobody_else(
    club_with_password: DataFolder, knock: Knock, path: str
) -> None:
    browser = knock(club_with_password)
    if path == "/account":
        sign_in(browser)
    answer = browser.get(path)

    assert "default-src 'none'" in answer.headers["content-security-policy"]
    assert "unsafe" not in answer.headers["content-security-policy"]
    assert not {"style=", "onclick", "http://", "https://"} & set(answer.text.split('"'))
    assert answer.headers["cache-control"] == "private, no-store"


@pytest.mark.parametrize("body", [b"\xff\xfe", b"a&" * 100, b"", b"name=x&name=y", b"%%%"])
def test_nonsense_in_place_of_a_form_is_a_refused_sign_in(
    club_with_password: DataFolder, knock: Knock, body: bytes
) -> None:
    assert knock(club_with_password).post("/account/sign-in", headers=OURS, content=body).status_code == 403
