"""Passkeys: made, used in place of the password and beside it, asked for again, removed; and what attacks come to."""

import json
import re
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from html import unescape
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient
from typer.testing import CliRunner

from dashboard.command_line import app
from dashboard.door.passkeys import Here, here
from dashboard.door.settings import Door, DoorSettings, read_door
from models.permits import Role
from sql.club import accounts, passkey_challenges, passkeys
from sql.club.file import at, club_file
from sql.club.keeping import empty_what_does_not_survive
from sql.club.passkey_challenges import MOST_OPEN, Purpose
from sql.folder import DataFolder
from tests.conftest import OpenBrowser
from tests.door.authenticator import PRESENT, Device, challenge_of
from tests.door.conftest import Served
from tests.door.test_own_account import no_longer_confirmed
from tests.door.test_sign_in_flow import PASSWORD, events, is_in
from tests.signing_in import token_of

Knock = Callable[..., TestClient]

HERE = "http://localhost:8501"
OURS = {"origin": HERE}
FROM_JSON = {"content-type": "application/json"} | OURS


def signed_in(knock: Knock, folder: DataFolder, name: str = "Nora Quill") -> TestClient:
    """A browser at localhost, in which somebody has just signed in."""
    browser = knock(folder, url=HERE)
    said = {"name": name, "password": PASSWORD, "next": "/"}
    assert browser.post("/account/sign-in", headers=OURS, data=said).status_code == 303
    return browser


def ask(browser: TestClient, what: str) -> dict[str, Any]:
    """What the device is to sign."""
    answer = browser.post(f"/account/passkey/{what}", headers=FROM_JSON, content="{}")
    assert answer.status_code == 200, answer.text
    options: dict[str, Any] = answer.json()["options"]
    return options


def say(browser: TestClient, what: str, answer: dict[str, Any], **more: Any) -> Any:
    return browser.post(f"/account/passkey/{what}", headers=FROM_JSON, content=json.dumps({"answer": answer, **more}))


def with_key(browser: TestClient, name: str = "Blue phone") -> Device:
    """A device with a passkey of whoever is signed in there."""
    device = Device()
    answer = say(browser, "keep", device.make(ask(browser, "ask-new")), name=name)
    assert answer.json() == {"next": "/account"}, answer.text
    return device


def test_a_passkey_signs_in_by_itself(club_with_password: DataFolder, knock: Knock) -> None:
    device = with_key(signed_in(knock, club_with_password))
    other = knock(club_with_password, url=HERE)
    answer = say(other, "sign-in", device.sign(ask(other, "ask")), next="/people")

    assert answer.json() == {"next": "/people"}
    assert is_in(other)
    assert "You are Nora Quill" in other.get("/account").text
    assert [about for _, _, about in events(club_with_password)] == ["by password", "a new passkey", "by passkey"]


def test_its_owner_names_sees_and_removes_it(club_with_password: DataFolder, knock: Knock) -> None:
    browser = signed_in(knock, club_with_password)
    device = with_key(browser)
    page = browser.get("/account").text
    assert "Blue phone" in page
    assert "not used yet" in page
    (number,) = re.findall(r'name="passkey" value="(\d+)"', page)
    browser.post("/account/passkey/remove", headers=OURS, data={"passkey": number})

    assert "Blue phone" not in browser.get("/account").text
    other = knock(club_with_password, url=HERE)
    assert say(other, "sign-in", device.sign(ask(other, "ask"))).status_code == 403


def test_asked_for_beside_the_password_that_alone_lets_nobody_in(club_with_password: DataFolder, knock: Knock) -> None:
    browser = signed_in(knock, club_with_password)
    device = with_key(browser)
    browser.post("/account/passkey/required", headers=OURS, data={"is_required": "yes"})
    other = knock(club_with_password, url=HERE)
    said = {"name": "Nora Quill", "password": PASSWORD, "next": "/people"}
    page = other.post("/account/sign-in", headers=OURS, data=said)
    assert "Now your passkey" in page.text
    assert not is_in(other)
    options = json.loads(unescape(re.findall(r'data-options="([^"]*)"', page.text)[0]))

    assert say(other, "sign-in", device.sign(options), second=True, next="/people").json() == {"next": "/people"}
    assert is_in(other)


def test_after_one_password_the_key_of_another_account_is_no_second_factor(
    club_with_password: DataFolder, knock: Knock
) -> None:
    """The coach has a key of their own, and the coordinator's password."""
    nora, roe = signed_in(knock, club_with_password), signed_in(knock, club_with_password, "M. Roe")
    with_key(nora)
    nora.post("/account/passkey/required", headers=OURS, data={"is_required": "yes"})
    coachs = with_key(roe)
    thief = knock(club_with_password, url=HERE)
    page = thief.post("/account/sign-in", headers=OURS, data={"name": "Nora Quill", "password": PASSWORD, "next": "/"})
    options = json.loads(unescape(re.findall(r'data-options="([^"]*)"', page.text)[0]))

    assert say(thief, "sign-in", coachs.sign(options), second=True).status_code == 403
    assert not is_in(thief)


def test_it_says_again_who_one_is_and_anothers_does_not(club_with_password: DataFolder, knock: Knock) -> None:
    nora, roe = signed_in(knock, club_with_password), signed_in(knock, club_with_password, "M. Roe")
    own, coachs = with_key(nora), with_key(roe)
    no_longer_confirmed(club_with_password)
    assert "Use the passkey" in nora.get("/account/confirm?next=%2Fpeople").text

    assert say(nora, "confirm", coachs.sign(ask(nora, "ask-again")), next="/people").status_code == 403
    assert nora.get("/account/confirm").status_code == 200
    assert say(nora, "confirm", own.sign(ask(nora, "ask-again")), next="/people").json() == {"next": "/people"}
    assert nora.get("/account/confirm").status_code == 303


BENT = {
    "another origin": {"origin": "https://evil.example"},
    "another origin, as near as can be": {"origin": "http://localhost:8502"},
    "another relying party": {"rp": "evil.example"},
    "nobody was verified": {"flags": PRESENT},
    "nobody was there": {"flags": 0},
}


@pytest.mark.parametrize("bent", BENT.values(), ids=BENT.keys())
def test_what_was_signed_elsewhere_or_without_its_owner_lets_nobody_in(
    club_with_password: DataFolder, knock: Knock, bent: dict[str, Any]
) -> None:
    device = replace(with_key(signed_in(knock, club_with_password)), **bent)
    thief = knock(club_with_password, url=HERE)

    assert say(thief, "sign-in", device.sign(ask(thief, "ask"))).status_code == 403
    assert not is_in(thief)


@pytest.mark.parametrize("bent", BENT.values(), ids=BENT.keys())
def test_no_such_key_is_kept_either(club_with_password: DataFolder, knock: Knock, bent: dict[str, Any]) -> None:
    browser = signed_in(knock, club_with_password)
    answer = say(browser, "keep", replace(Device(), **bent).make(ask(browser, "ask-new")), name="Bent")

    assert answer.status_code == 403
    assert "Bent" not in browser.get("/account").text


def test_a_signature_that_was_overheard_is_worth_nothing(club_with_password: DataFolder, knock: Knock) -> None:
    """Played again in the same browser, in another, and against a fresh challenge."""
    device = with_key(signed_in(knock, club_with_password))
    owner, thief = knock(club_with_password, url=HERE), knock(club_with_password, url=HERE)
    answer = device.sign(ask(owner, "ask"))
    assert say(owner, "sign-in", answer).status_code == 200

    assert say(owner, "sign-in", answer).status_code == 410, "a challenge is answered once"
    assert say(thief, "sign-in", answer).status_code == 410, "this browser was asked nothing"
    ask(thief, "ask")
    assert say(thief, "sign-in", answer).status_code == 403, "this browser was asked something else"
    assert not is_in(thief)


def test_the_answer_of_another_browser_signs_nobody_in_here(club_with_password: DataFolder, knock: Knock) -> None:
    device = with_key(signed_in(knock, club_with_password))
    owner, thief = knock(club_with_password, url=HERE), knock(club_with_password, url=HERE)
    ask(thief, "ask")

    assert say(thief, "sign-in", device.sign(ask(owner, "ask"))).status_code == 403


def test_a_challenge_for_one_end_is_worth_nothing_for_another(club_with_password: DataFolder, knock: Knock) -> None:
    browser = signed_in(knock, club_with_password)
    device = with_key(browser)
    no_longer_confirmed(club_with_password)

    assert say(browser, "confirm", device.sign(ask(browser, "ask"))).status_code == 410
    assert browser.get("/account/confirm").status_code == 200


def test_a_copy_of_a_key_is_found_by_its_count(club_with_password: DataFolder, knock: Knock) -> None:
    device = with_key(signed_in(knock, club_with_password))
    copied = replace(device)
    owner, thief = knock(club_with_password, url=HERE), knock(club_with_password, url=HERE)
    for _ in range(2):
        assert say(owner, "sign-in", device.sign(ask(owner, "ask"))).status_code == 200

    assert say(thief, "sign-in", copied.sign(ask(thief, "ask"))).status_code == 403


def test_a_forged_signature_and_a_key_that_nobody_kept_are_told_alike(
    club_with_password: DataFolder, knock: Knock
) -> None:
    device = with_key(signed_in(knock, club_with_password))
    thief = knock(club_with_password, url=HERE)
    forged = replace(Device(), credential=device.credential)

    answers = [say(thief, "sign-in", one.sign(ask(thief, "ask"))) for one in (forged, Device())]
    assert [answer.status_code for answer in answers] == [403, 403]
    assert answers[0].json() == answers[1].json()


NONSENSE = [b"", b"{}", b"[]", b'{"answer": 1}', b'{"answer": {}, "more": 1}', b"\xff", b'{"answer": {"id": "x"}}']


@pytest.mark.parametrize("said", NONSENSE)
def test_nonsense_is_refused_in_a_sentence(club_with_password: DataFolder, knock: Knock, said: bytes) -> None:
    browser = knock(club_with_password, url=HERE)
    ask(browser, "ask")
    answer = browser.post("/account/passkey/sign-in", headers=FROM_JSON, content=said)

    assert answer.status_code in (400, 403)
    assert answer.json()["wrong"]


@pytest.mark.parametrize("name", ["Ada Lind", "Otto Orr"])
def test_players_and_guardians_have_none(club_with_password: DataFolder, knock: Knock, name: str) -> None:
    browser = signed_in(knock, club_with_password, name)

    assert browser.post("/account/passkey/ask-new", headers=FROM_JSON, content="{}").status_code == 403
    assert "Passkeys" not in browser.get("/account").text


def test_who_is_a_player_since_does_not_come_in_by_the_key_of_before(
    club_with_password: DataFolder, knock: Knock
) -> None:
    device = with_key(signed_in(knock, club_with_password, "M. Roe"))
    with club_file(club_with_password) as connection:
        account = accounts.by_name(connection, "M. Roe")
        assert account is not None
        accounts.change_role(connection, account, Role.PLAYER, players=["CLEO"])
    browser = knock(club_with_password, url=HERE)

    assert say(browser, "sign-in", device.sign(ask(browser, "ask"))).status_code == 403


def test_an_open_browser_alone_makes_removes_and_changes_none(club_with_password: DataFolder, knock: Knock) -> None:
    browser = signed_in(knock, club_with_password)
    with_key(browser)
    options = ask(browser, "ask-new")
    no_longer_confirmed(club_with_password)

    assert browser.post("/account/passkey/ask-new", headers=FROM_JSON, content="{}").status_code == 403
    assert say(browser, "keep", Device().make(options), name="Another").status_code == 403
    for form in ("remove", "required"):
        answer = browser.post(f"/account/passkey/{form}", headers=OURS, data={"passkey": "1", "is_required": "yes"})
        assert answer.headers["location"] == "/account/confirm?next=%2Faccount"
    assert "Blue phone" in browser.get("/account").text
    assert "The password alone lets in, too." in browser.get("/account").text


def test_nobody_removes_the_key_of_another(club_with_password: DataFolder, knock: Knock) -> None:
    nora, roe = signed_in(knock, club_with_password), signed_in(knock, club_with_password, "M. Roe")
    with_key(nora)
    (number,) = re.findall(r'name="passkey" value="(\d+)"', nora.get("/account").text)
    roe.post("/account/passkey/remove", headers=OURS, data={"passkey": number})

    assert "Blue phone" in nora.get("/account").text


@pytest.mark.parametrize("name", ["", " ", "x" * 41, "a\u200bb", "BLUE PHONE"])
def test_a_name_is_short_and_ones_own(club_with_password: DataFolder, knock: Knock, name: str) -> None:
    browser = signed_in(knock, club_with_password)
    with_key(browser)
    answer = say(browser, "keep", Device().make(ask(browser, "ask-new")), name=name)

    assert answer.status_code == 422
    assert answer.json()["wrong"]


def test_from_another_page_nothing_is_asked(club_with_password: DataFolder, knock: Knock) -> None:
    browser = knock(club_with_password, url=HERE)
    evil = FROM_JSON | {"origin": "https://evil.example"}

    assert browser.post("/account/passkey/ask", headers=evil, content="{}").status_code == 403


def test_whoever_asks_without_end_waits_and_fills_no_disk(club_with_password: DataFolder, knock: Knock) -> None:
    browser = knock(club_with_password, url=HERE)
    asked = [browser.post("/account/passkey/ask", headers=FROM_JSON, content="{}").status_code for _ in range(30)]
    assert asked[0] == 200
    assert asked[-1] == 429
    with club_file(club_with_password) as connection:
        for _ in range(MOST_OPEN + 10):
            passkey_challenges.ask(connection, Purpose.SIGN_IN, None)
        (kept,) = connection.execute("select count(*) from passkey_challenges").fetchone()
    assert kept == MOST_OPEN


def test_a_challenge_is_good_for_minutes_and_as_long_as_it_should_be(folder: DataFolder) -> None:
    with club_file(folder) as connection:
        tokens = [passkey_challenges.ask(connection, Purpose.SIGN_IN, None) for _ in range(2)]
        assert len({challenge for _, challenge in tokens}) == 2
        assert all(len(challenge) >= 16 for _, challenge in tokens)
        for minutes in (-6, 6):
            connection.execute(
                "update passkey_challenges set made_at = ?", [at(datetime.now(UTC) + timedelta(minutes=minutes))]
            )
            assert passkey_challenges.answered(connection, tokens.pop()[0], Purpose.SIGN_IN) is None


def test_what_is_signed_is_what_was_asked(club_with_password: DataFolder, knock: Knock) -> None:
    browser = knock(club_with_password, url=HERE)
    options = ask(browser, "ask")

    assert len(challenge_of(Device().sign(options))) == 32
    assert options["userVerification"] == "required"
    assert options["rpId"] == "localhost"


@pytest.mark.parametrize(
    ("public_url", "host", "expected"),
    [
        ("https://club.example", "club.example", Here("club.example", "https://club.example")),
        ("https://club.example:8443", "anything", Here("club.example", "https://club.example:8443")),
        (None, "localhost:8501", Here("localhost", "http://localhost:8501")),
        (None, "127.0.0.1:8501", None),
        (None, "club.local", None),
    ],
)
def test_a_key_is_good_for_the_clubs_address_or_for_localhost(
    folder: DataFolder, public_url: str | None, host: str, expected: Here | None
) -> None:
    assert here(Door(folder, DoorSettings(public_url=public_url)), host) == expected


def test_a_backup_brings_no_removed_key_back_and_locks_nobody_out(club_with_password: DataFolder, knock: Knock) -> None:
    browser = signed_in(knock, club_with_password)
    with_key(browser)
    browser.post("/account/passkey/required", headers=OURS, data={"is_required": "yes"})
    empty_what_does_not_survive(club_with_password)
    with club_file(club_with_password) as connection:
        account = accounts.by_name(connection, "Nora Quill")
        assert account is not None
        assert passkeys.of_account(connection, account.account) == []

    assert is_in(signed_in(knock, club_with_password))


def test_whose_device_is_lost_comes_in_by_password_once_the_keys_are_removed(
    club_with_password: DataFolder, knock: Knock
) -> None:
    browser = signed_in(knock, club_with_password)
    with_key(browser)
    browser.post("/account/passkey/required", headers=OURS, data={"is_required": "yes"})
    done = CliRunner().invoke(app, ["account", "remove-passkeys", "nora quill", "--data", str(club_with_password.path)])

    assert done.exit_code == 0, done.output
    assert "there were 1" in done.output
    assert is_in(signed_in(knock, club_with_password))


@pytest.mark.browser
@pytest.mark.proof
def test_a_real_browser_makes_a_passkey_and_signs_in_with_it(served: Served, open_browser: OpenBrowser) -> None:
    """Chromium's virtual authenticator stands for a device with a finger on it."""
    url = served.url.replace("127.0.0.1", "localhost")
    context = open_browser()
    name = read_door(served.folder).cookie_name
    context.add_cookies([{"name": name, "value": token_of(served.folder, "M. Roe", Role.COACH), "url": url}])
    page = context.new_page()
    with_virtual_device(page)
    page.goto(f"{url}/account")
    page.get_by_label("Name of the new passkey").fill("Laptop")
    page.get_by_role("button", name="Make a passkey on this device").click()
    expect(page.get_by_text("Laptop")).to_be_visible()
    page.get_by_role("button", name="Sign out", exact=True).first.click()

    page.get_by_role("button", name="Sign in with a passkey").click()
    page.wait_for_url(lambda address: "/account" not in address)
    page.goto(f"{url}/account")
    expect(page.get_by_text("You are M. Roe")).to_be_visible()
    expect(page.get_by_text("last used")).to_be_visible()


def with_virtual_device(page: Page) -> None:
    """A device of Chrome's own, without hardware (Chrome DevTools Protocol, domain WebAuthn)."""
    devtools = page.context.new_cdp_session(page)
    devtools.send("WebAuthn.enable")
    options = {
        "protocol": "ctap2",
        "transport": "internal",
        "hasResidentKey": True,
        "hasUserVerification": True,
        "isUserVerified": True,
        "automaticPresenceSimulation": True,
    }
    devtools.send("WebAuthn.addVirtualAuthenticator", {"options": options})
