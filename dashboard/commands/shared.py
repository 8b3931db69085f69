"""What the commands share: the application, the options, where they speak, and their progress bar."""

import sys
from collections.abc import Collection, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer
from rich.console import Console
from typer.core import TyperCommand

from ingest.club_day import keep_to
from sql.folder import DataFolder, FolderProblem

if TYPE_CHECKING:
    from sql.making_tables import Progress

DATA_DIR = Path("halflong-data")

app = typer.Typer(
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,  # To load what draws boxes around help takes longer than all the rest of it.
)
screen = Console(soft_wrap=True, highlight=False)
errors = Console(stderr=True, soft_wrap=True, highlight=False)


@app.callback()  # With one command only, it would not have to be named.
def halflong() -> None:
    """A table-tennis club's training logs: load them, see who met which balls, and what to feed next."""


def in_order(data: Path) -> Path:
    """The data folder, when what a program that died there left undone has been mended; in the club's time zone."""
    from sql.mending import put_in_order  # noqa: PLC0415 - whoever asks for help opens no folder

    put_in_order(DataFolder(data), say)
    with suppress(FolderProblem):  # The command itself tells of settings that cannot be read, where it needs them.
        keep_to(DataFolder(data).settings().time_zone)
    return data


# The option itself mends, so that no command can forget to.
Data = Annotated[
    Path,
    typer.Option("--data", envvar="HALFLONG_DATA", help="The club's data folder.", file_okay=False, callback=in_order),
]
Files = Annotated[list[Path], typer.Argument(help="CSV or XLSX files.", exists=True, dir_okay=False, readable=True)]
NoOpen = Annotated[bool, typer.Option("--no-open", help="Do not open a browser.")]
Port = Annotated[int | None, typer.Option(help="Local port; a free one if not given.", min=1, max=65535)]


class ToldWhole(TyperCommand):
    """A command of a group, whose list tells the whole first sentence of each, over as many lines as it takes."""

    def get_short_help_str(self, limit: int = 45) -> str:  # noqa: ARG002 - what the framework would cut it to
        """The sentence, not cut."""
        return super().get_short_help_str(sys.maxsize)


def one_of(words: Collection[str]) -> dict[str, Any]:
    """What makes an option take one of these words only, and its help name them."""

    def taken(text: str) -> str:
        if text not in words:
            raise typer.BadParameter(f"{text!r} is not one of {', '.join(map(repr, words))}.")
        return text

    return {"parser": taken, "metavar": f"<{'|'.join(words)}>"}


def say(sentence: str) -> None:
    """Tell what is under way, beside the answer."""
    errors.print(sentence, markup=False)


@contextmanager
def progress_bar() -> Iterator["Progress"]:
    """A progress bar on a terminal; silence in a pipe."""
    from rich.progress import Progress as ProgressBar  # noqa: PLC0415 - few commands build

    with ProgressBar(console=errors, transient=True, disable=not errors.is_terminal) as bar:
        task = bar.add_task("building", total=None)
        yield lambda done, total, name: bar.update(task, completed=done, total=total, description=f"building {name}")
