"""The demo club: invented, built from its files through the same door as any club."""

import shutil
from collections.abc import Callable
from datetime import date

from dashboard import questions
from dashboard.questions import Desk
from dashboard.services import accounts as account_services
from demo_data import demo_files, demo_settings_file
from ingest.loading import Incoming, load
from models.permits import EVERY_GROUP, Reader, Role
from models.refusal import Refused
from sql.club import accounts
from sql.club.file import club_file
from sql.folder import DataFolder
from sql.making_tables import Progress

DEMO_CLUB_ID = "demo"


class DemoRefused(Refused):
    """The folder holds another club."""


def prepare_demo(folder: DataFolder, *, today: date, say: Callable[[str], None], progress: Progress) -> list[str]:
    """Load the demo club's files into the folder and publish; what was done, in sentences. Raises DemoRefused."""
    if folder.warehouse_file.exists() and folder.settings().club_id != DEMO_CLUB_ID:
        raise DemoRefused(f"{folder.path} holds another club. Give the demo a folder of its own with --data DIR.")
    folder.path.mkdir(parents=True, exist_ok=True)
    if not folder.settings_file.exists():
        shutil.copyfile(demo_settings_file(), folder.settings_file)
    files = [Incoming.from_path(file) for file in demo_files()]
    reports = load(folder, files, "demo", today=today, say=say, progress=progress)
    read = sum(report.lines_read for report in reports)
    refused = sum(report.lines_refused for report in reports)
    whole = sum(report.taken is None for report in reports)
    return [
        f"The demo club (invented) is in {folder.path}: {len(reports)} files, {read} lines read, "
        f"{read - refused} accepted, {refused} refused, {whole} file refused as a whole.",
        "The refusals are part of the demo: they show what a coordinator gets to mend.",
    ]


def demo_links(folder: DataFolder, by: Reader) -> dict[str, str]:
    """The path of a link for one of each role, by name: accounts and links like any other's. The coordinator first."""
    desk = Desk(folder, by)
    first, other, *_ = questions.players(desk)
    cast: tuple[tuple[str, Role, list[str], list[str]], ...] = (
        ("Demo coordinator", Role.COORDINATOR, [], []),
        ("Demo coach", Role.COACH, [], [first.group_name or EVERY_GROUP]),
        ("Demo player", Role.PLAYER, [first.player_id], []),
        ("Demo guardian", Role.GUARDIAN, [first.player_id, other.player_id], []),
    )
    return {name: _link(desk, name, role, wards, groups) for name, role, wards, groups in cast}


def _link(desk: Desk, name: str, role: Role, players: list[str], groups: list[str]) -> str:
    with club_file(desk.folder) as connection:
        account = accounts.by_name(connection, name)
    if account:
        return account_services.new_link(desk.folder, account, desk.reader)
    return account_services.invite(desk, name, role, players=players, groups=groups)
