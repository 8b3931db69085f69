"""Plans that the club keeps as patterns: by those who train, for all who train.

A pattern is blocks and balls and nobody's name. Raises NotPermitted for anybody else, and NothingPublished.
"""

from dashboard import questions
from dashboard.questions import Desk
from dashboard.rows.plans import Proposal
from models import plan_edits
from models.permits import require_planner
from models.plan_pattern import LaidOut, Pattern, laid_out
from models.planned import Plan
from models.refusal import Refused
from sql.club import patterns as stored
from sql.club.file import club_file

MOST_NAME_LETTERS = 60


class PatternProblem(Refused):
    """A pattern cannot be kept so; the text says why."""


def keep(desk: Desk, name: str, plan: Plan) -> str:
    """Keep the blocks of a plan as a pattern, in place of an earlier one of that name; gives the name as it is kept.

    Raises PatternProblem.
    """
    require_planner(desk.reader)
    called = " ".join(name.split())
    if not called or len(called) > MOST_NAME_LETTERS:
        raise PatternProblem(
            f"Saw a name of {len(called)} letters, expected 1 to {MOST_NAME_LETTERS}. Say what the pattern is good for."
        )
    if not plan.blocks:
        raise PatternProblem("The plan has no block left, so there is nothing to keep as a pattern. Add one first.")
    with club_file(desk.folder) as connection:
        stored.keep(connection, called, plan)
    return called


def drop(desk: Desk, number: int) -> None:
    """Take a pattern out."""
    require_planner(desk.reader)
    with club_file(desk.folder) as connection:
        stored.drop(connection, number)


def patterns(desk: Desk) -> tuple[Pattern, ...]:
    """The club's patterns, by name."""
    require_planner(desk.reader)
    with club_file(desk.folder) as connection:
        return stored.patterns(connection)


def laid_out_for(desk: Desk, pattern: Pattern, proposal: Proposal) -> LaidOut:
    """A pattern laid out for the player of a proposal, who meets its balls from where they come to that hand."""
    require_planner(desk.reader)
    return laid_out(pattern.blocks, plan_edits.gaps_of(proposal.plan), proposal.stands, questions.settings(desk))
