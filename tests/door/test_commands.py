"""Accounts at the command line, for whoever holds the data folder."""

import json
import re
from collections.abc import Callable
from io import StringIO
from pathlib import Path

import pytest
from rich.console import Console
from typer.testing import CliRunner, Result

from dashboard.command_line import app
from dashboard.commands import faces
from dashboard.commands.demo import demo_links
from dashboard.services.accounts import INVITATION_PATH, first_coordinators_link
from dashboard.services.served_folder import served_once
from models.permits import EVERY_GROUP, Reader, Role, owner
from sql.club import accounts, audit_trail, invitations, web_sessions
from sql.club.accounts import AccountProblem
from sql.club.audit_trail import Event, record
from sql.club.file import club_file
from sql.folder import DataFolder
from tests.signing_in import token_of

KEEPER = owner("keeper")


def account(folder: DataFolder, *arguments: str) -> Result:
    return CliRunner().invoke(app, ["account", *arguments, "--data", str(folder.path)])


def whom_it_invites(folder: DataFolder, printed: str) -> accounts.Account:
    link = re.search(rf"{INVITATION_PATH}([\w-]{{43}})", printed)
    assert link is not None, printed
    with club_file(folder) as connection:
        found = invitations.invited(connection, link[1])
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("arguments", "role", "players", "groups"),
    [
        (["--role", "coordinator"], Role.COORDINATOR, set(), set()),
        (["--role", "coach", "--group", "Juniors", "--group", "Seniors"], Role.COACH, set(), {"Juniors", "Seniors"}),
        (["--role", "coach", "--group", "*"], Role.COACH, set(), {EVERY_GROUP}),
        (["--role", "player", "--player", "CLEO"], Role.PLAYER, {"CLEO"}, set()),
        (["--role", "guardian", "--player", "CLEO", "--player", "BEN"], Role.GUARDIAN, {"CLEO", "BEN"}, set()),
    ],
)
def test_inviting_makes_an_account_and_prints_a_link_for_it(
    club: DataFolder, arguments: list[str], role: Role, players: set[str], groups: set[str]
) -> None:
    done = account(club, "invite", "Somebody", *arguments)
    invited = whom_it_invites(club, done.output)

    assert done.exit_code == 0
    assert (invited.name, invited.role, invited.players, invited.groups) == ("Somebody", role, players, groups)


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["invite", "X", "--role", "player", "--player", "CLOE"], "saw the player CLOE.*ADA, BEN, CLEO"),
        (["invite", "X", "--role", "player", "--player", "DAN"], "saw the player DAN, expected an active player"),
        (["invite", "X", "--role", "coach", "--group", "Minis"], "saw the group Minis"),
        (["invite", "X", "--role", "owner"], "saw the role owner"),
        (["invite", "m. roe", "--role", "coordinator"], "already"),
        (["invite", " ", "--role", "coordinator"], "expected 1 to 60 printable characters"),
        (["link", "Nobody"], "no account 'Nobody'"),
        (["remove", "Nora Quill"], "only coordinator"),
        (["change", "Nora Quill", "--role", "coach", "--group", "Juniors"], "only coordinator"),
    ],
)
def test_what_cannot_be_is_told_in_a_sentence_and_changes_nothing(
    club: DataFolder, arguments: list[str], told: str
) -> None:
    before = account(club, "list").output
    done = account(club, *arguments)

    assert isinstance(done.exception, AccountProblem)
    assert re.search(told, str(done.exception))
    assert account(club, "list").output == before


def test_a_link_is_whole_where_the_club_is_served(club: DataFolder) -> None:
    assert "Put the address before it" in account(club, "link", "Ada Lind").output
    with served_once(club, "http://127.0.0.1:8555"):
        assert f"http://127.0.0.1:8555{INVITATION_PATH}" in account(club, "link", "Ada Lind").output
    club.settings_file.write_text('[door]\npublic_url = "https://club.example"\n', encoding="utf-8")

    assert f"https://club.example{INVITATION_PATH}" in account(club, "link", "Ada Lind").output


def test_the_list_tells_who_has_come_in(club: DataFolder) -> None:
    account(club, "link", "Ada Lind")
    token_of(club, "M. Roe", Role.COACH)
    listed = account(club, "list").output

    assert "player ADA" in listed
    assert "has a link that is not used yet" in listed
    assert "coach of Juniors" in listed


def test_signing_out_everywhere_ends_the_sessions_and_takes_the_link_back(club: DataFolder) -> None:
    token = token_of(club, "Ada Lind", Role.PLAYER)
    link = account(club, "link", "Ada Lind").output
    done = account(club, "sign-out", "ada lind")

    assert "(browsers: 1)" in done.output
    with club_file(club) as connection:
        assert web_sessions.by_token(connection, token) is None
        assert invitations.invited(connection, link.split(INVITATION_PATH)[1].split()[0]) is None


def test_another_role_and_a_removal_are_in_force_and_noted(club: DataFolder) -> None:
    account(club, "change", "M. Roe", "--role", "guardian", "--player", "BEN")
    account(club, "remove", "Ada Lind")
    with club_file(club) as connection:
        roe = accounts.by_name(connection, "M. Roe")
        noted = [entry.about for entry in audit_trail.entries(connection, KEEPER, 10)]

    assert roe is not None
    assert (roe.role, roe.players, roe.groups) == (Role.GUARDIAN, {"BEN"}, frozenset())
    assert noted == [
        "Ada Lind, player ADA: removed",
        "M. Roe: coach of Juniors, from now on guardian of BEN",
    ]
    assert "(command line)" in account(club, "trail").output


def test_loading_and_withdrawing_are_noted(club: DataFolder, tmp_path: Path) -> None:
    """The file is refused as a whole and the batch is the last of the small club's: only one build is needed."""
    file = tmp_path / "holidays.csv"
    file.write_text("from,to\n2025-07-01,2025-07-14\n", encoding="utf-8")
    CliRunner().invoke(app, ["load", str(file), "--data", str(club.path)])
    CliRunner().invoke(app, ["withdraw", "5", "--data", str(club.path)])
    with club_file(club) as connection:
        noted = [(entry.event, entry.about) for entry in audit_trail.entries(connection, KEEPER, 10)]

    assert noted == [
        (audit_trail.Event.WITHDRAWAL, "batch 5"),
        (audit_trail.Event.LOAD, "holidays.csv: refused as a whole"),
    ]


def test_a_new_club_has_a_link_for_its_first_coordinator_until_one_has_come_in(tmp_path: Path) -> None:
    folder = DataFolder(tmp_path / "new")
    first, again = first_coordinators_link(folder, KEEPER), first_coordinators_link(folder, KEEPER)
    assert first is not None
    assert again is not None
    invited = whom_it_invites(folder, again)
    assert invited.role is Role.COORDINATOR
    with club_file(folder) as connection:
        assert len(accounts.everyone(connection)) == 1
        accounts.keep_password_hash(connection, invited.account, "kept")

    assert first_coordinators_link(folder, KEEPER) is None


def test_the_first_link_is_shown_to_whoever_sits_there_and_kept_out_of_a_log(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A log is read by others, and kept for months: the link in it would open the club."""

    def greeted(*_: object, greet: Callable[[str], str], **__: object) -> None:
        greet("http://here")

    monkeypatch.setattr(faces, "serve", greeted)
    command = ["serve", "--no-open", "--data", str(tmp_path / "new")]
    logged = CliRunner().invoke(app, command).output
    monkeypatch.setattr(faces, "screen", Console(file=(seen := StringIO()), force_terminal=True, soft_wrap=True))
    CliRunner().invoke(app, command)

    assert INVITATION_PATH not in logged
    assert "'halflong account link coordinator' prints the first link" in logged
    assert f"http://here{INVITATION_PATH}" in seen.getvalue()


def test_the_demo_lets_one_of_each_role_in_by_links_like_any_others(club: DataFolder) -> None:
    roles = {name: whom_it_invites(club, path).role for name, path in demo_links(club, KEEPER).items()}
    again = {name: whom_it_invites(club, path).role for name, path in demo_links(club, KEEPER).items()}

    assert roles == again
    assert list(roles.values()) == [Role.COORDINATOR, Role.COACH, Role.PLAYER, Role.GUARDIAN]


def test_a_log_collector_gets_an_object_in_a_line(folder: DataFolder) -> None:
    child = Reader("Ada Lind", Role.PLAYER, 3, frozenset({"ADA"}))
    with club_file(folder) as connection:
        record(connection, Event.LOAD, "batch 1", reader=child)
        for _ in range(2):
            record(connection, Event.REFUSAL, "one", reader=child)

    told = account(folder, "trail", "--format", "json")
    lines = [json.loads(line) for line in told.output.splitlines()]

    assert [line["entry"] for line in lines] == [2, 1]
    assert (lines[0]["times"], lines[0]["event"], lines[0]["name"]) == (2, "refusal", "Ada Lind")
    assert all(len(line["seal"]) == 64 for line in lines)
