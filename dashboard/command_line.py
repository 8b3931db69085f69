"""The command `halflong`."""

import sys

from dashboard.commands import accounts, aim, faces, keeping, logs, paper, plan, privacy, published  # noqa: F401 - each registers its commands
from dashboard.commands.demo import DemoRefused
from dashboard.commands.plan import NobodyToPlanFor
from dashboard.commands.shared import app, errors
from dashboard.paper.sheets import NotOnPaper
from dashboard.services.plans import NothingToPlan
from dashboard.serving import NotServed
from models.bounds import OutOfBounds
from models.standing_feeder import NoSuchSetup
from sql.build import BuildFailed
from sql.club.accounts import AccountProblem
from sql.folder import FolderProblem
from sql.log_book import CannotWithdraw
from sql.private import keep_new_files_private
from sql.warehouse import NothingPublished, QuestionRefused


def main() -> None:
    """Run the command; what its user must mend is told in a sentence, with exit code 1."""
    keep_new_files_private()
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
        AccountProblem,
        NoSuchSetup,
        NotOnPaper,
        NobodyToPlanFor,
        NothingToPlan,
        OutOfBounds,
        OSError,
    ) as problem:
        errors.print(str(problem), markup=False)
        sys.exit(1)


if __name__ == "__main__":
    main()
