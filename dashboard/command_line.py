"""The command `halflong`."""

import getpass
import json
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from enum import StrEnum
from io import BytesIO
from pathlib import Path
from typing import Annotated

import polars as pl
import typer
from rich.console import Console
from rich.progress import Progress as ProgressBar

from dashboard.demo import DemoRefused, prepare_demo
from dashboard.printing import print_report, print_table
from dashboard.questions import batches as list_batches
from dashboard.serving import NotServed, serve
from ingest.loading import Incoming, Report, check, load, withdraw
from ingest.templates import explanation, table_schema, template_csv
from sql.build import BuildFailed, Progress, build
from sql.folder import DataFolder, FolderProblem
from sql.log_book import CannotWithdraw
from sql.warehouse import NothingPublished, QuestionRefused, ask, held

DATA_DIR = Path("halflong-data")
DEMO_DIR = Path("halflong-demo")

app = typer.Typer(
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    help="A table-tennis club's training logs: load them, see who met which balls, and what to feed next.",
)
screen = Console(soft_wrap=True, highlight=False)
errors = Console(stderr=True, soft_wrap=True, highlight=False)

Data = Annotated[Path, typer.Option("--data", envvar="HALFLONG_DATA", help="The club's data folder.", file_okay=False)]
Files = Annotated[list[Path], typer.Argument(help="CSV or XLSX files.", exists=True, dir_okay=False, readable=True)]
NoOpen = Annotated[bool, typer.Option("--no-open", help="Do not open a browser.")]
Port = Annotated[int | None, typer.Option(help="Local port; a free one if not given.", min=1, max=65535)]


class Dates(StrEnum):
    """How dates such as 02/03/2026 are meant."""

    DAY_FIRST = "day-first"
    MONTH_FIRST = "month-first"


DatesOption = Annotated[
    Dates | None, typer.Option(help="How dates such as 02/03/2026 are meant, where a file does not show it.")
]


class Kind(StrEnum):
    """The kinds of log."""

    PLAYERS = "players"
    SETUPS = "setups"
    TARGETS = "targets"
    SESSIONS = "sessions"
    BALLS = "balls"


KindOption = Annotated[Kind | None, typer.Option(help="What kind of log the files are, where their columns fit two.")]


class Format(StrEnum):
    """How an answer is written."""

    TABLE = "table"
    CSV = "csv"
    JSON = "json"
    PARQUET = "parquet"


class TemplateForm(StrEnum):
    """What of a log's format is wanted."""

    CSV = "csv"
    EXPLANATION = "explanation"
    DESCRIPTOR = "descriptor"


def main() -> None:
    """Run the command; what its user must mend is told in a sentence, with exit code 1."""
    try:
        app()
    except (
        FolderProblem,
        NothingPublished,
        QuestionRefused,
        CannotWithdraw,
        BuildFailed,
        DemoRefused,
        NotServed,
        OSError,
    ) as problem:
        errors.print(str(problem), markup=False)
        sys.exit(1)


@app.command("load")
def load_command(
    files: Files,
    data: Data = DATA_DIR,
    dates: DatesOption = None,
    kind: KindOption = None,
    refusals: Annotated[Path | None, typer.Option(help="Folder for the refused lines, as files to mend.")] = None,
) -> None:
    """Load logs and publish. Every line is accepted or refused; refused lines say what to do."""
    with _progress() as progress:
        reports = load(
            DataFolder(data),
            _incoming(files, dates, kind),
            getpass.getuser(),
            today=_today(),
            say=_say,
            progress=progress,
        )
    _finish(reports, refusals)


@app.command("check")
def check_command(
    files: Files,
    data: Data = DATA_DIR,
    dates: DatesOption = None,
    kind: KindOption = None,
    refusals: Annotated[Path | None, typer.Option(help="Folder for the refused lines, as files to mend.")] = None,
) -> None:
    """Say what loading these files would do, and change nothing."""
    _finish(check(DataFolder(data), _incoming(files, dates, kind), today=_today(), say=_say), refusals)


def _today() -> date:
    return date.today()  # noqa: DTZ011 - the club's own day, as on its wall


def _say(sentence: str) -> None:
    errors.print(sentence, markup=False)


def _incoming(files: list[Path], dates: Dates | None, kind: Kind | None) -> list[Incoming]:
    date_form = dates.value.replace("-", " ") if dates else None
    return [Incoming.from_path(file, date_form, kind) for file in files]


def _finish(reports: list[Report], refusals: Path | None) -> None:
    for report in reports:
        print_report(screen, report)
        if refusals and report.mendable:
            refusals.mkdir(parents=True, exist_ok=True)
            file = refusals / f"{Path(report.file_name).stem}-refused.csv"
            file.write_text(report.mendable, encoding="utf-8", newline="")
            screen.print(f"  The refused lines are in {file}: mend them and load that file.", markup=False)
    if not all(report.is_sound for report in reports):
        raise typer.Exit(1)


@contextmanager
def _progress() -> Iterator[Progress]:
    """A progress bar on a terminal; silence in a pipe."""
    with ProgressBar(console=errors, transient=True, disable=not errors.is_terminal) as bar:
        task = bar.add_task("building", total=None)
        yield lambda done, total, name: bar.update(task, completed=done, total=total, description=f"building {name}")


@app.command("batches")
def batches_command(data: Data = DATA_DIR) -> None:
    """List what was loaded, the latest first."""
    print_table(screen, list_batches(DataFolder(data)))


@app.command("withdraw")
def withdraw_command(batch: Annotated[int, typer.Argument(min=1)], data: Data = DATA_DIR) -> None:
    """Withdraw a batch; the lines that it superseded are in force again."""
    withdraw(DataFolder(data), batch, getpass.getuser(), say=_say)
    screen.print(f"Batch {batch} is withdrawn; the lines that it superseded are in force again.")


@app.command("build")
def build_command(data: Data = DATA_DIR) -> None:
    """Make all derived tables anew and publish them."""
    folder = DataFolder(data)
    with _progress() as progress, held(folder, _say):
        publication = build(folder, progress)
    for warning in publication.warnings:
        errors.print(f"warning: {warning}", markup=False)
    screen.print(f"Publication {publication.number} is in force.")


@app.command("query")
def query_command(
    question: Annotated[str, typer.Argument(help="One SELECT over the tables core.* and report.*.")],
    data: Data = DATA_DIR,
    format: Annotated[Format, typer.Option(help="How the answer is written.")] = Format.TABLE,  # noqa: A002
    out: Annotated[Path | None, typer.Option(help="Write to this file instead.", dir_okay=False)] = None,
) -> None:
    """Ask the published tables a question in SQL. Read-only."""
    answer = ask(DataFolder(data), question)
    if format is Format.TABLE and out is None:
        print_table(screen, answer)
        return
    content = _written(answer, format)
    if out is None:
        sys.stdout.buffer.write(content)
        sys.stdout.buffer.flush()
    else:
        out.write_bytes(content)


def _written(answer: pl.DataFrame, form: Format) -> bytes:
    if form is Format.PARQUET:
        stream = BytesIO()
        answer.write_parquet(stream)
        return stream.getvalue()
    if form is Format.JSON:
        return answer.write_json().encode() + b"\n"
    return answer.write_csv().encode()


@app.command("template")
def template_command(
    kind: Kind,
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


@app.command("serve")
def serve_command(
    data: Data = DATA_DIR,
    port: Port = None,
    no_open: NoOpen = False,
    address: Annotated[
        str, typer.Option(help="Address to listen on; this machine only, until there is a sign-in.")
    ] = "127.0.0.1",
) -> None:
    """Serve the screens on this machine and open them in a browser."""
    serve(DataFolder(data), address=address, port=port, opens_browser=not no_open, say=screen.print)


@app.command("demo")
def demo_command(data: Data = DEMO_DIR, port: Port = None, no_open: NoOpen = False) -> None:
    """Build a small invented club, serve it and open its screens; with --no-open, build it and exit."""
    folder = DataFolder(data)
    with _progress() as progress:
        for sentence in prepare_demo(folder, today=_today(), say=_say, progress=progress):
            screen.print(sentence, markup=False)
    if not no_open:
        serve(folder, port=port, say=screen.print)


if __name__ == "__main__":
    main()
