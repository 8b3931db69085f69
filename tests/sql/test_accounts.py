"""Accounts, invitations, sessions: what is kept of each, for how long, and what ends it."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest

from models.permits import Role
from sql.club import accounts, invitations, web_sessions
from sql.club.accounts import AccountProblem
from sql.club.file import ClubConnection, at, club_file
from sql.club.web_sessions import WAY_PASSWORD
from sql.folder import DataFolder


@pytest.fixture
def file(folder: DataFolder) -> Iterator[ClubConnection]:
    with club_file(folder) as connection:
        yield connection


def number_of(file: ClubConnection, name: str) -> int:
    account = accounts.by_name(file, name)
    assert account is not None
    return account.account


def days_ago(days: float) -> str:
    return at(datetime.now(UTC) - timedelta(days=days))


@pytest.mark.parametrize("spelling", ["ada lind", "  ADA   Lind ", "Ada Lind", "ＡＤＡ Lind"])
def test_a_name_is_the_same_in_every_spelling(file: ClubConnection, spelling: str) -> None:
    found = accounts.by_name(file, spelling)

    assert found is not None
    assert found.name == "Ada Lind"
    with pytest.raises(AccountProblem, match="already"):
        accounts.add(file, spelling, Role.COORDINATOR)


@pytest.mark.parametrize(
    ("role", "players", "groups", "told"),
    [
        (Role.PLAYER, [], [], "Choose the one player whose account this is"),
        (Role.PLAYER, ["ADA", "BEN"], [], "Choose the one player whose account this is"),
        (Role.GUARDIAN, [], [], "Choose the players whom the guardian looks after"),
        (Role.COACH, [], [], "Choose the groups that the coach trains"),
        (Role.COORDINATOR, ["ADA"], [], "A coordinator's account names no player"),
        (Role.PLAYER, ["ADA"], ["Juniors"], "A player's account names no group"),
        (Role.OWNER, [], [], "expected one of coordinator, coach, player, guardian"),
    ],
)
def test_a_role_stands_for_what_it_needs_and_nothing_else(
    file: ClubConnection, role: Role, players: list[str], groups: list[str], told: str
) -> None:
    with pytest.raises(AccountProblem, match=told):
        accounts.add(file, "Somebody", role, players=players, groups=groups)
    assert accounts.by_name(file, "Somebody") is None


def test_the_last_coordinator_can_neither_be_removed_nor_become_something_else(file: ClubConnection) -> None:
    last = accounts.by_name(file, "Nora Quill")
    assert last is not None
    with pytest.raises(AccountProblem, match="only coordinator"):
        accounts.remove(file, last)
    with pytest.raises(AccountProblem, match="only coordinator"):
        accounts.change_role(file, last, Role.COACH, groups=["Juniors"])

    accounts.add(file, "Second", Role.COORDINATOR)
    accounts.remove(file, last)
    assert accounts.by_name(file, "Nora Quill") is None


def test_a_token_is_kept_as_a_hash_only(file: ClubConnection, folder: DataFolder) -> None:
    session = web_sessions.begin(file, number_of(file, "Ada Lind"), WAY_PASSWORD)
    invitation = invitations.invite(file, number_of(file, "Ada Lind"))
    everything = b"".join(part.read_bytes() for part in folder.path.glob("club.sqlite*"))

    assert session.encode() not in everything
    assert invitation.encode() not in everything
    assert len(session) >= 43, "256 bits take 43 characters of base 64"


def test_every_sign_in_has_a_token_of_its_own_and_ends_the_one_before(file: ClubConnection) -> None:
    ada = number_of(file, "Ada Lind")
    first = web_sessions.begin(file, ada, WAY_PASSWORD)
    second = web_sessions.begin(file, ada, WAY_PASSWORD, old_token=first)

    assert first != second
    assert web_sessions.by_token(file, first) is None
    assert web_sessions.by_token(file, second) is not None


@pytest.mark.parametrize(
    ("made", "seen", "lasts"),
    [(0, 0, True), (13.9, 13.9, True), (14.1, 14.1, False), (89.9, 1, True), (90.1, 0, False)],
)
def test_a_session_ends_after_14_days_unseen_and_90_days_in_all(
    file: ClubConnection, made: float, seen: float, lasts: bool
) -> None:
    token = web_sessions.begin(file, number_of(file, "Ada Lind"), WAY_PASSWORD)
    file.execute("update web_sessions set made_at = ?, seen_at = ?", [days_ago(made), days_ago(seen)])

    assert (web_sessions.by_token(file, token) is not None) is lasts


@pytest.mark.parametrize(
    ("made", "seen", "lasts"), [(0, 0, True), (0.9, 0.9, True), (1.1, 1.1, False), (6.9, 0, True), (7.1, 0, False)]
)
def test_a_coordinators_session_ends_after_a_day_unseen_and_a_week_in_all(
    file: ClubConnection, made: float, seen: float, lasts: bool
) -> None:
    token = web_sessions.begin(file, number_of(file, "Nora Quill"), WAY_PASSWORD)
    file.execute("update web_sessions set made_at = ?, seen_at = ?", [days_ago(made), days_ago(seen)])

    assert len(web_sessions.open_sessions(file, number_of(file, "Nora Quill"))) == int(lasts)
    assert (web_sessions.by_token(file, token) is not None) is lasts


def test_coming_back_puts_the_end_of_a_session_off(file: ClubConnection) -> None:
    token = web_sessions.begin(file, number_of(file, "Ada Lind"), WAY_PASSWORD)
    file.execute("update web_sessions set seen_at = ?", [days_ago(13)])
    web_sessions.by_token(file, token)

    assert file.execute("select seen_at from web_sessions").fetchone()[0] > days_ago(0.1)


def test_a_session_asked_under_another_account_is_not_known(file: ClubConnection) -> None:
    ada, nora = number_of(file, "Ada Lind"), number_of(file, "Nora Quill")
    found = web_sessions.by_token(file, web_sessions.begin(file, ada, WAY_PASSWORD))
    assert found is not None

    assert web_sessions.by_number(file, found.session, ada) == found
    assert web_sessions.by_number(file, found.session, nora) is None


def test_a_changed_role_is_in_force_in_the_sessions_that_are_open(file: ClubConnection) -> None:
    token = web_sessions.begin(file, number_of(file, "M. Roe"), WAY_PASSWORD)
    coach = accounts.by_name(file, "M. Roe")
    assert coach is not None
    accounts.change_role(file, coach, Role.PLAYER, players=["CLEO"])
    found = web_sessions.by_token(file, token)

    assert found is not None
    assert (found.reader.role, found.reader.players, found.reader.groups) == (Role.PLAYER, {"CLEO"}, frozenset())


def test_removing_an_account_ends_its_sessions_and_links(file: ClubConnection) -> None:
    ada = accounts.by_name(file, "Ada Lind")
    assert ada is not None
    session, link = web_sessions.begin(file, ada.account, WAY_PASSWORD), invitations.invite(file, ada.account)
    accounts.remove(file, ada)

    assert web_sessions.by_token(file, session) is None
    assert invitations.invited(file, link) is None


def test_a_link_is_good_once(file: ClubConnection) -> None:
    ada = number_of(file, "Ada Lind")
    link = invitations.invite(file, ada)

    assert [invitations.redeem(file, link), invitations.redeem(file, link)] == [ada, None]


def test_looking_at_a_link_does_not_use_it_up(file: ClubConnection) -> None:
    link = invitations.invite(file, number_of(file, "Ada Lind"))

    assert [invitations.invited(file, link) is not None for _ in range(3)] == [True, True, True]


def test_a_link_is_worth_nothing_after_a_week_or_once_there_is_a_newer_one(file: ClubConnection) -> None:
    ada = number_of(file, "Ada Lind")
    first = invitations.invite(file, ada)
    second = invitations.invite(file, ada)
    assert invitations.redeem(file, first) is None

    file.execute("update invitations set ends_at = ?", [days_ago(0.01)])
    assert invitations.redeem(file, second) is None
