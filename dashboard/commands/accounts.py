"""Who may come in: invite, list, link, change, sign-out, remove, trail. For whoever holds the data folder."""

import getpass
import json
from datetime import datetime
from enum import StrEnum
from typing import Annotated

import polars as pl
import typer

from dashboard.commands.printing import print_table
from dashboard.commands.shared import DATA_DIR, Data, ToldWhole, app, screen
from dashboard.door.settings import read_door
from dashboard.questions import Desk
from dashboard.services import accounts as account_services
from dashboard.services.served_folder import served_at
from dashboard.words.people import role_in_words
from models.permits import Reader, Role, owner
from sql.club import accounts, audit_trail
from sql.club.accounts import Account, AccountProblem
from sql.club.file import club_file
from sql.folder import DataFolder

account_app = typer.Typer(no_args_is_help=True, help="Who may come in to the screens, and as what.")
app.add_typer(account_app, name="account")

Name = Annotated[str, typer.Argument(help="The name that the person signs in with.")]
RoleOption = Annotated[Role, typer.Option(help="What the person is to the club.")]
Players = Annotated[
    list[str] | None, typer.Option("--player", help="Code of the player, or of each player a guardian looks after.")
]
Groups = Annotated[list[str] | None, typer.Option("--group", help="Each group that a coach trains; * for every group.")]


class TrailForm(StrEnum):
    """How the trail is printed."""

    TABLE = "table"
    JSON = "json"


def at_this_keyboard() -> Reader:
    """Whoever gives the command."""
    return owner(f"{getpass.getuser()} (command line)")


@account_app.command("invite", cls=ToldWhole)
def invite_command(
    name: Name, role: RoleOption, data: Data = DATA_DIR, player: Players = None, group: Groups = None
) -> None:
    """Make an account and print a link for its person: good once, for seven days."""
    desk = Desk(DataFolder(data), at_this_keyboard())
    path = account_services.invite(desk, name, role, players=player or (), groups=group or ())
    tell_link(desk.folder, name, path)


@account_app.command("link", cls=ToldWhole)
def link_command(name: Name, data: Data = DATA_DIR) -> None:
    """Print a new link for an account: its person sets a new password with it."""
    folder = DataFolder(data)
    tell_link(folder, name, account_services.new_link(folder, existing(folder, name), at_this_keyboard()))


@account_app.command("list", cls=ToldWhole)
def list_command(data: Data = DATA_DIR) -> None:
    """List the accounts."""
    rows = [
        {
            "name": one.account.name,
            "stands for": role_in_words(one.account.reader),
            "state": one.state,
            "signed-in browsers": one.browsers,
        }
        for one in account_services.people(DataFolder(data), at_this_keyboard())
    ]
    print_table(screen, pl.DataFrame(rows, schema=["name", "stands for", "state", "signed-in browsers"]))


@account_app.command("change", cls=ToldWhole)
def change_command(
    name: Name, role: RoleOption, data: Data = DATA_DIR, player: Players = None, group: Groups = None
) -> None:
    """Give an account another role, or other players or groups. In force with its next click."""
    desk = Desk(DataFolder(data), at_this_keyboard())
    account_services.change_role(desk, existing(desk.folder, name), role, players=player or (), groups=group or ())
    screen.print(f"{name} is {role_in_words(existing(desk.folder, name).reader)} from now on.", markup=False)


@account_app.command("sign-out", cls=ToldWhole)
def sign_out_command(name: Name, data: Data = DATA_DIR) -> None:
    """Sign an account out everywhere at once, and take its open link back."""
    folder = DataFolder(data)
    ended = account_services.sign_out_everywhere(folder, existing(folder, name), at_this_keyboard())
    screen.print(f"{name} is signed out everywhere (browsers: {ended}).", markup=False)


@account_app.command("remove-passkeys", cls=ToldWhole)
def remove_passkeys_command(name: Name, data: Data = DATA_DIR) -> None:
    """Remove every passkey of an account, as when a device is lost: the password alone is enough again."""
    folder = DataFolder(data)
    removed = account_services.remove_passkeys(folder, existing(folder, name), at_this_keyboard())
    screen.print(f"{name} has no passkey any more (there were {removed}).", markup=False)


@account_app.command("remove", cls=ToldWhole)
def remove_command(name: Name, data: Data = DATA_DIR) -> None:
    """Remove an account; it is signed out everywhere. What it loaded stays in the log."""
    folder = DataFolder(data)
    account_services.remove(folder, existing(folder, name), at_this_keyboard())
    screen.print(f"The account {name} is removed.", markup=False)


@account_app.command("trail", cls=ToldWhole)
def trail_command(
    data: Data = DATA_DIR,
    limit: Annotated[int, typer.Option(min=1, max=100_000)] = 50,
    form: Annotated[TrailForm, typer.Option("--format", help="table, or json: an object in a line.")] = TrailForm.TABLE,
) -> None:
    """List who did what, the latest first: sign-ins, refusals, loads, withdrawals, exports, erasures."""
    folder = DataFolder(data)
    with club_file(folder) as connection:
        found = audit_trail.entries(connection, at_this_keyboard(), limit)
    if form is TrailForm.TABLE:
        rows = [entry.on_the_wall(folder.settings().local) for entry in found]
        print_table(screen, pl.DataFrame(rows, infer_schema_length=None))
        return
    for entry in found:
        print(json.dumps(vars(entry), default=datetime.isoformat))


def existing(folder: DataFolder, name: str) -> Account:
    """The account of this name. Raises AccountProblem."""
    with club_file(folder) as connection:
        account = accounts.by_name(connection, name)
    if account is None:
        raise AccountProblem(f"there is no account {name!r}. 'halflong account list' lists them.")
    return account


def tell_link(folder: DataFolder, name: str, path: str) -> None:
    """Print a link, whole where it is known under which address the screens are reached."""
    at = read_door(folder).settings.public_url or served_at(folder)
    screen.print(f"A link for {name}, good once and for seven days:", markup=False)
    screen.print(f"{at or ''}{path}", markup=False)
    if at is None:
        screen.print("Put the address before it that 'halflong serve' tells.")
