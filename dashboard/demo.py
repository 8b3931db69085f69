"""The demo club: invented, built from its files through the same door as any club."""

import shutil
from collections.abc import Callable
from datetime import date

from demo_data import demo_files, demo_settings_file
from ingest.loading import Incoming, load
from sql.build import Progress
from sql.folder import DataFolder

DEMO_CLUB_ID = "demo"


class DemoRefused(Exception):
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
