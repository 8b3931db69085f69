"""The command `halflong`."""

import sys

from dashboard.commands import accounts, aim, faces, keeping, logs, paper, plan, privacy, published  # noqa: F401 - each registers its commands
from dashboard.commands.shared import app, errors
from models.refusal import Refused
from sql.private import keep_new_files_private


def main() -> None:
    """Run the command; what its user must mend is told in a sentence, with exit code 1."""
    keep_new_files_private()
    try:
        app()
    except (Refused, OSError) as problem:
        errors.print(str(problem), markup=False)
        sys.exit(1)


if __name__ == "__main__":
    main()
