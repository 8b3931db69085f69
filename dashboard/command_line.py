"""The command `halflong`."""

import sys
from importlib import import_module
from typing import TYPE_CHECKING

from dashboard.commands.shared import app as _app
from dashboard.commands.shared import errors
from models.refusal import Refused

if TYPE_CHECKING:
    from typer import Typer

MODULES = {
    "accounts": {"account": "Who may come in to the screens, and as what."},
    "aim": {"aim": "Say how far a target is from a feeder, and how to turn its head."},
    "building": {"build": "Make the derived tables and publish them: anew where something changed, or all of them."},
    "faces": {
        "serve": "Serve the screens and open them in a browser. Prints a link for the first coordinator until one has "
        "come in.",
        "demo": "Build a small invented club, serve it and open its screens; with --no-open, build it and exit.",
    },
    "federation": {"federation": "Many clubs together: what they send, and the tables of all."},
    "keeping": {
        "backup": "Write everything of the club that cannot be made again into one file, while everything runs.",
        "try-backup": "Try a backup out: restore it into a folder beside it, verify and publish there, and remove that "
        "again.",
        "restore": "Give a backup back into an empty folder, verify it, and publish. Never writes over anything.",
        "verify": "Read everything and hold it against its checksums and rules; make anew what can be made anew.",
        "backup-key": "Make a key for encrypted backups: the file opens them, the printed public key only makes them.",
    },
    "logs": {
        "load": "Load logs and publish. Every line is accepted or refused; refused lines say what to do.",
        "check": "Say what loading these files would do, and change nothing.",
        "batches": "List what was loaded, the latest first.",
        "withdraw": "Withdraw a batch; the lines that it superseded are in force again.",
        "template": "Print a log's format: a file to fill in, its explanation, or its open descriptor.",
        "accept": "Accept balls that players logged of themselves, so that no figure marks them any more.",
    },
    "paper": {
        "report": "Write a player's page as a PDF to print: what was met, what lacks, how it goes.",
        "sheet": "Write a session sheet as a PDF, to note balls by hand beside the table: empty, or of a player's "
        "plan.",
    },
    "plan": {
        "plan": "Say what to feed a player, or each player of a group, in the next session, and why; or who is where "
        "in the hall."
    },
    "privacy": {
        "forget": "Forget a player: code and name go from every file of the data folder. Cannot be taken back.",
        "export": "Write everything that is stored of a player into one zip of CSV files, for the player to have.",
    },
    "published": {"query": "Ask the published tables a question in SQL. Read-only."},
}
"""The modules of `dashboard.commands`, each with the commands that it registers and what they do, as they say it."""


def registered(asked: str | None) -> "Typer":
    """The application with the command that is asked for, which loads nothing that it does not use.

    Where none of them is, with the names of all, and what they do in short.
    """
    for module, commands in MODULES.items():
        if asked in commands:
            import_module(f"dashboard.commands.{module}")
            return _app
    for commands in MODULES.values():
        for name, in_short in commands.items():
            _app.command(name, short_help=in_short)(_told_only)
    return _app


def _told_only() -> None:
    """Stands for a command where they are only listed."""


def __getattr__(name: str) -> object:
    if name == "app":
        for module in MODULES:
            import_module(f"dashboard.commands.{module}")
        return _app
    raise AttributeError(name)


def main() -> None:
    """Run the command; what its user must mend is told in a sentence, with exit code 1."""
    asked = sys.argv[1] if len(sys.argv) > 1 else None
    if asked and not asked.startswith("-"):
        from sql.private import keep_new_files_private  # noqa: PLC0415 - whoever asks what there is, makes no file

        keep_new_files_private()
    try:
        registered(asked)()
    except (Refused, OSError) as problem:
        errors.print(str(problem), markup=False)
        sys.exit(1)


if __name__ == "__main__":
    main()
