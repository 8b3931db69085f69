"""People and Audit trail: what a coordinator does to accounts on the screen."""

import re
from collections.abc import Callable

import pytest
from streamlit.testing.v1 import AppTest

from dashboard.services.accounts import INVITATION_PATH
from dashboard.serving import FOLDER_VARIABLE
from models.permits import Role
from sql.club import account_news, accounts, invitations, known_browsers, web_sessions
from sql.club.accounts import Account
from sql.club.file import club_file
from sql.club.tokens import token_hash
from sql.folder import DataFolder
from tests.dashboard.shown import APP
from tests.signing_in import token_of, user_of

PEOPLE, TRAIL = "views/people.py", "views/audit_trail.py"

Open = Callable[[str], AppTest]


@pytest.fixture
def open_page(club: DataFolder, monkeypatch: pytest.MonkeyPatch) -> Open:
    """Open a page as the coordinator of the club."""
    monkeypatch.setenv(FOLDER_VARIABLE, str(club.path))

    def opened(view: str) -> AppTest:
        app = AppTest.from_file(APP, default_timeout=60)
        app.user = user_of(club, "Nora Quill")
        return app.switch_page(view).run()

    return opened


def named(folder: DataFolder, name: str) -> Account | None:
    with club_file(folder) as connection:
        return accounts.by_name(connection, name)


def press(app: AppTest, label: str) -> AppTest:
    return next(button for button in app.button if button.label == label).click().run()


def look_at(app: AppTest, name: str) -> AppTest:
    return next(box for box in app.selectbox if box.label == "Look at one account").select(name).run()


def test_an_invited_guardian_has_an_account_and_the_page_shows_the_link(club: DataFolder, open_page: Open) -> None:
    app = open_page(PEOPLE)
    app.text_input[0].set_value("Lena Orr").run()
    app.segmented_control[0].set_value(Role.GUARDIAN).run()
    app.multiselect[0].select("BEN").run()
    press(app, "Make the account and a link")
    link = re.search(rf"{INVITATION_PATH}([\w-]+)", app.code[0].value)
    made = named(club, "Lena Orr")

    assert link is not None
    with club_file(club) as connection:
        assert invitations.invited(connection, link[1]) == made
    assert made is not None
    assert (made.role, made.players) == (Role.GUARDIAN, {"BEN"})
    assert app.run().code[0].value.endswith(link[0])


def test_links_stay_in_sight_until_they_are_used_or_taken_back(club: DataFolder, open_page: Open) -> None:
    """Otto's link is used, Lena's is taken back; each came with a message to send and a code to photograph."""
    app = open_page(PEOPLE)
    press(look_at(app, "Otto Orr"), "New link")
    press(look_at(app, "Ada Lind"), "New link")
    links = [code.value for code in app.code if code.value.startswith(("http", INVITATION_PATH))]
    messages = [code.value for code in app.code if code.value.startswith("Hello ")]
    otto = named(club, "Otto Orr")

    assert len(links) == len(messages) == 2
    assert messages[0].endswith(links[0])
    assert sum('alt="QR code of the link for' in html.value for html in app.html) == 2
    with club_file(club) as connection:
        assert invitations.redeem(connection, links[0].rpartition("/")[2]) == (otto and otto.account)
    assert [code.value for code in app.run().code if code.value in links] == links[1:]
    press(app, "Take this link back")
    assert not app.code
    with club_file(club) as connection:
        assert invitations.invited(connection, links[1].rpartition("/")[2]) is None


def test_signing_somebody_out_everywhere_ends_their_sessions(club: DataFolder, open_page: Open) -> None:
    token = token_of(club, "Ada Lind", Role.PLAYER)
    app = press(look_at(open_page(PEOPLE), "Ada Lind"), "Sign out everywhere")

    assert app.success[0].value.startswith("Ada Lind is signed out everywhere")
    with club_file(club) as connection:
        assert web_sessions.by_token(connection, token) is None


def test_an_account_is_removed_only_after_a_second_yes(club: DataFolder, open_page: Open) -> None:
    app = press(look_at(open_page(PEOPLE), "Ada Lind"), "Remove")
    assert named(club, "Ada Lind") is not None
    press(app, "No, keep it")
    assert named(club, "Ada Lind") is not None
    press(press(look_at(app, "Ada Lind"), "Remove"), "Yes, remove it")

    assert named(club, "Ada Lind") is None


def test_the_last_coordinator_is_kept_and_told_why(club: DataFolder, open_page: Open) -> None:
    app = press(press(look_at(open_page(PEOPLE), "Nora Quill"), "Remove"), "Yes, remove it")

    assert "only coordinator" in app.error[0].value
    assert named(club, "Nora Quill") is not None


def test_what_was_done_stands_in_the_trail_and_can_be_picked_by_kind(club: DataFolder, open_page: Open) -> None:
    press(look_at(open_page(PEOPLE), "Ada Lind"), "New link")
    app = open_page(TRAIL)
    assert app.dataframe[0].value["about"].to_list()[0] == "Ada Lind, player ADA"
    app.selectbox[0].select("erasure").run()

    assert app.info[-1].value == "Nothing of this kind was done yet."


def test_a_page_whose_reader_is_not_signed_in_any_more_shows_nothing(club: DataFolder, open_page: Open) -> None:
    app = open_page(PEOPLE)
    assert app.title[0].value == "People"
    nora = named(club, "Nora Quill")
    assert nora is not None
    with club_file(club) as connection:
        web_sessions.end_all(connection, nora.account)
    app.run()

    assert [title.value for title in app.title] == ["You are signed out"]
    assert not app.dataframe
    assert not app.button


@pytest.mark.parametrize("user", [{}, {"sub": "1"}, {"sub": "1", "sid": "1"}, {"email": "nora@example.com"}])
def test_without_a_session_there_is_no_page(
    club: DataFolder, monkeypatch: pytest.MonkeyPatch, user: dict[str, str]
) -> None:
    monkeypatch.setenv(FOLDER_VARIABLE, str(club.path))
    app = AppTest.from_file(APP, default_timeout=60)
    app.user = user
    app.run()

    assert [title.value for title in app.title] == ["You are signed out"]


def no_longer_confirmed(folder: DataFolder) -> None:
    """As some minutes after the sign-in."""
    with club_file(folder) as connection:
        connection.execute("update web_sessions set confirmed_at = null")


def test_whoever_sits_down_at_an_open_browser_invites_nobody(club: DataFolder, open_page: Open) -> None:
    app = open_page(PEOPLE)
    app.text_input[0].set_value("Lena Orr").run()
    look_at(app, "Ada Lind")
    no_longer_confirmed(club)
    press(app, "New link")

    assert "Say again who you are" in app.warning[0].value
    assert any('href="/account/confirm?next=' in html.value for html in app.html)
    assert not app.code
    assert "Make the account and a link" not in [button.label for button in app.run().button]
    ada = named(club, "Ada Lind")
    assert ada is not None
    with club_file(club) as connection:
        assert not invitations.is_open(connection, ada.account)


def test_news_of_the_account_stand_on_every_page_until_they_are_read(club: DataFolder, open_page: Open) -> None:
    app = open_page(PEOPLE)
    nora = named(club, "Nora Quill")
    assert nora is not None
    with club_file(club) as connection:
        browser = known_browsers.remember(connection, nora.account, ())
        connection.execute("update web_sessions set browser_sha256 = ?", [token_hash(browser)])
        account_news.tell(connection, nora.account, account_news.What.NEW_BROWSER, "Firefox on Windows", "other")
    for view in (TRAIL, PEOPLE):
        app.switch_page(view).run()
        assert any("Firefox on Windows" in one.value for one in app.markdown)
    press(app, "I have read it")

    assert not any("Firefox on Windows" in one.value for one in app.markdown)
