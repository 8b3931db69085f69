"""The command `halflong`."""

import sys
from importlib import import_module
from typing import TYPE_CHECKING

from dashboard.commands.shared import app as _app
from dashboard.commands.shared import errors
from models.refusal import Refused
from sql.private import keep_new_files_private

if TYPE_CHECKING:
    from typer import Typer

MODULES = {
    "accounts": ("account",),
    "aim": ("aim",),
    "building": ("build",),
    "faces": ("serve", "demo"),
    "federation": ("federation",),
    "keeping": ("backup", "try-backup", "restore", "verify", "backup-key"),
    "logs": ("load", "check", "batches", "withdraw", "template", "accept"),
    "paper": ("report", "sheet"),
    "plan": ("plan",),
    "privacy": ("forget", "export"),
    "published": ("query",),
}
"""The modules of `dashboard.commands`, each with the commands that it registers."""


def registered(asked: str | None = None) -> "Typer":
    """The application with the command that is asked for, which loads nothing that it does not use; or with all."""
    modules = [module for module, commands in MODULES.items() if asked in commands]
    for module in modules or MODULES:
        import_module(f"dashboard.commands.{module}")
    return _app


def __getattr__(name: str) -> object:
    if name == "app":
        return registered()
    raise AttributeError(name)


def main() -> None:
    """Run the command; what its user must mend is told in a sentence, with exit code 1."""
    keep_new_files_private()
    try:
        registered(sys.argv[1] if len(sys.argv) > 1 else None)()
    except (Refused, OSError) as problem:
        errors.print(str(problem), markup=False)
        sys.exit(1)


if __name__ == "__main__":
    main()
