"""Logs in and out: load, check, batches, withdraw, template."""

import json
import sys
from enum import StrEnum
from itertools import chain, count
from pathlib import Path
from typing import Annotated

import typer

from dashboard.commands.accounts import at_this_keyboard
from dashboard.commands.printing import print_report, print_table
from dashboard.commands.shared import DATA_DIR, Data, Files, app, one_of, progress_bar, say, screen
from dashboard.questions import Desk, owners_desk
from dashboard.questions import batches as list_batches
from dashboard.rows.building import frame_of
from dashboard.rows.club import BatchRow
from dashboard.services.logs import accept, load, withdraw
from ingest.club_day import today
from ingest.dates import DAY_FIRST, MONTH_FIRST
from ingest.loading import Incoming, Report, check
from ingest.templates import explanation, table_schema, template_csv
from models.records import RECORDS
from sql.folder import DataFolder

DATE_FORMS = {form.replace(" ", "-"): form for form in (DAY_FIRST, MONTH_FIRST)}

DatesOption = Annotated[
    str | None,
    typer.Option(help="How dates such as 02/03/2026 are meant, where a file does not show it.", **one_of(DATE_FORMS)),
]

KindOption = Annotated[
    str | None,
    typer.Option(help="What kind of log the files are, where their columns fit two.", **one_of(RECORDS)),
]

RefusalsOption = Annotated[Path | None, typer.Option(help="Folder for the refused lines, as files to mend.")]


class TemplateForm(StrEnum):
    """What of a log's format is wanted."""

    CSV = "csv"
    EXPLANATION = "explanation"
    DESCRIPTOR = "descriptor"


@app.command("load")
def load_command(
    files: Files,
    data: Data = DATA_DIR,
    dates: DatesOption = None,
    kind: KindOption = None,
    refusals: RefusalsOption = None,
) -> None:
    """Load logs and publish. Every line is accepted or refused; refused lines say what to do."""
    with progress_bar() as progress:
        reports = load(
            DataFolder(data),
            _incoming(files, dates, kind),
            at_this_keyboard(),
            today=today(),
            say=say,
            progress=progress,
        )
    _finish(reports, refusals)


@app.command("check")
def check_command(
    files: Files,
    data: Data = DATA_DIR,
    dates: DatesOption = None,
    kind: KindOption = None,
    refusals: RefusalsOption = None,
) -> None:
    """Say what loading these files would do, and change nothing."""
    _finish(check(DataFolder(data), _incoming(files, dates, kind), today=today(), say=say), refusals)


def _incoming(files: list[Path], dates: str | None, kind: str | None) -> list[Incoming]:
    date_form = DATE_FORMS[dates] if dates else None
    return [Incoming.from_path(file, date_form, kind) for file in files]


def _finish(reports: list[Report], refusals: Path | None) -> None:
    for report in reports:
        print_report(screen, report)
        if refusals and report.mendable:
            refusals.mkdir(parents=True, exist_ok=True)
            file = _free_name(refusals, f"{Path(report.file_name).stem}-refused", report.mendable_file)
            file.write_bytes(report.mendable_file)
            screen.print(f"  The refused lines are in {file}: mend them and load that file.", markup=False)
    if not all(report.is_sound for report in reports):
        raise typer.Exit(1)


def _free_name(folder: Path, stem: str, content: bytes) -> Path:
    """A file that is not there yet, or holds just this: two logs may have one name, and somebody may be mending."""
    names = chain([stem], (f"{stem}-{number}" for number in count(2)))
    files = (folder / f"{name}.csv" for name in names)
    return next(file for file in files if not file.exists() or file.read_bytes() == content)


@app.command("batches")
def batches_command(data: Data = DATA_DIR) -> None:
    """List what was loaded, the latest first."""
    folder = DataFolder(data)
    batches = [batch.by_the_clock_of(folder.settings()) for batch in list_batches(owners_desk(folder))]
    print_table(screen, frame_of(batches, BatchRow).drop("withdrawn_by", "taken"))


@app.command("withdraw")
def withdraw_command(batch: Annotated[int, typer.Argument(min=1)], data: Data = DATA_DIR) -> None:
    """Withdraw a batch; the lines that it superseded are in force again."""
    withdraw(DataFolder(data), batch, at_this_keyboard(), say=say)
    screen.print(f"Batch {batch} is withdrawn; the lines that it superseded are in force again.")


@app.command("accept")
def accept_command(
    batches: Annotated[list[int], typer.Argument(min=1, metavar="BATCH...", help="Numbers, as 'batches' lists them.")],
    data: Data = DATA_DIR,
) -> None:
    """Accept balls that players logged of themselves, so that no figure marks them any more."""
    accept(Desk(DataFolder(data), at_this_keyboard()), batches, say=say)
    screen.print(f"Accepted: {', '.join(map(str, batches))}. The figures are made anew.")


@app.command("template")
def template_command(
    kind: Annotated[
        str, typer.Argument(**one_of(RECORDS) | {"metavar": "KIND", "help": f"One of: {', '.join(RECORDS)}."})
    ],
    form: Annotated[
        TemplateForm, typer.Option("--as", help="A file to fill in, its explanation, or a Table Schema.")
    ] = TemplateForm.CSV,
) -> None:
    """Print a log's format: a file to fill in, its explanation, or its open descriptor."""
    texts = {
        TemplateForm.CSV: lambda: template_csv(kind),
        TemplateForm.EXPLANATION: lambda: explanation(kind),
        TemplateForm.DESCRIPTOR: lambda: json.dumps(table_schema(kind), indent=2, ensure_ascii=False) + "\n",
    }
    sys.stdout.write(texts[form]())
