"""Plans of a player's next session: made of what the player lacks, and kept for the table.

A player has one plan for a day; a new one takes its place. Plans are open to whoever may see the player, and made by
those who train. Whatever is asked or done here raises NotPermitted for anybody else, and NothingPublished.
"""

from collections.abc import Iterable, Mapping
from datetime import date

from dashboard import questions
from dashboard.questions import Desk, require_open
from dashboard.rows.coach import GapRow
from dashboard.rows.feeding import MetSetupRow
from dashboard.rows.plans import Proposal
from models import planning
from models.kept_plan import KeptPlan
from models.permits import require_planner
from models.planned import Gap, Plan, Stand
from models.refusal import Refused
from models.stance import Place
from models.worth import Shortfall
from sql.club import plans as stored
from sql.club.file import club_file

MOST_GAPS = 400
"""As many combinations as the grid of a target may have."""


class NothingToPlan(Refused):
    """There is nothing that a plan could be made of; the text says why."""


def proposed(desk: Desk, player_id: str, minutes: float, on: date) -> Proposal:
    """A plan of so many minutes for a player on a day, of what is lacking then. Raises NothingToPlan."""
    require_planner(desk.reader)
    settings = questions.settings(desk)
    gaps = dict(enumerate(questions.feed_next(desk, player_id, on, MOST_GAPS), start=1))
    setups = questions.setups_met_by(desk, player_id)
    if not gaps or not setups:
        raise NothingToPlan(_why_nothing(desk, player_id, has_setups=bool(setups)))
    shortfall = Shortfall.on_a_day(questions.wanted(desk, player_id, on), settings)
    plan = planning.plan(map(_gap, gaps, gaps.values()), shortfall, _stands(setups), minutes, settings)
    if not plan.blocks:
        raise NothingToPlan(_why_no_block(plan, minutes))
    return Proposal(player_id, on, minutes, gaps, {setup.setup_id: setup.name for setup in setups}, plan)


def _gap(rank: int, row: GapRow) -> Gap:
    return Gap(rank, row.words, row.need_balls, row.why)


def _stands(setups: Iterable[MetSetupRow]) -> list[Stand]:
    return [Stand(s.setup_id, s.depth, s.side, Place(s.x_cm, s.y_cm)) for s in setups]


def _why_nothing(desk: Desk, player_id: str, *, has_setups: bool) -> str:
    weeks = questions.weeks(desk)
    if not weeks:
        return "No logs are loaded yet: with the first one it is known what is lacking."
    if not questions.coverage(desk, weeks[0], player_id):
        return "No target applies to this player, so nothing is wanted that could be planned."
    if not has_setups:
        return "No setups are loaded yet: a plan must know where the feeder can stand."
    return "Every wanted combination is covered, and none is clearly weak. Keep the mix."


def _why_no_block(plan: Plan, minutes: float) -> str:
    if any(one.why == "no_time" for one in plan.left_out):
        return f"Not one block fits into {minutes:g} minute{'' if minutes == 1 else 's'}."
    return "No setup of the club stands where the wanted balls should come from."


def changed(desk: Desk, proposal: Proposal, balls: Mapping[int, int]) -> Plan:
    """The plan with other numbers of balls, by rank of the gap; none leaves it out."""
    return planning.with_balls(proposal.plan, balls, questions.settings(desk))


def keep(desk: Desk, player_id: str, plan: Plan, meant_for: date, today: date) -> None:
    """Keep a plan for a day, in place of an earlier one for that day; the player's plans of past days go.

    Raises NothingToPlan where it has no block.
    """
    require_planner(desk.reader)
    require_open(desk, player_id)
    if not plan.blocks:
        raise NothingToPlan("The plan has no block left, so there is nothing to keep.")
    with club_file(desk.folder) as connection:
        stored.keep(connection, player_id, plan, meant_for, maker=desk.reader.account, today=today)


def drop(desk: Desk, player_id: str, meant_for: date) -> None:
    """Take back the plan for a day."""
    require_planner(desk.reader)
    require_open(desk, player_id)
    with club_file(desk.folder) as connection:
        stored.drop(connection, player_id, meant_for)


def next_kept(desk: Desk, player_id: str, today: date) -> KeptPlan | None:
    """The plan for today, or else for the first day after it that has one."""
    require_open(desk, player_id)
    with club_file(desk.folder) as connection:
        return stored.next_kept(connection, player_id, today)
