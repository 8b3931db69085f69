"""Plans of a player's next session: made of what the player lacks, and kept for the table.

A player has one plan for a day; a new one takes its place, and past ones are held against what was done. Plans are open
to whoever may see the player, and made by those who train. Whatever is asked or done here raises NotPermitted for
anybody else, and NothingPublished.
"""

from collections.abc import Callable, Sequence
from datetime import date
from zlib import crc32

from dashboard import questions
from dashboard.questions import Desk, require_open
from dashboard.rows.coach import GapRow
from dashboard.rows.feeding import MetSetupRow
from dashboard.rows.plans import Proposal
from models import plan_edits, planning
from models.block_setup import NOT_CALIBRATED, Dials
from models.closing import closing_block
from models.feeder_setup import FeederSetup
from models.kept_plan import KeptPlan
from models.locks import NO_LOCKS, Decision, Locks
from models.permits import require_planner
from models.planned import Gap, Plan, Stand
from models.refusal import Refused
from models.settings import Settings
from models.stance import Place
from models.worth import Cell, Shortfall, Wanted
from sql.club import plan_decisions as decisions
from sql.club import plans as stored
from sql.club.file import club_file

MOST_GAPS = 400
"""As many combinations as the grid of a target may have."""

MOST_PAST = 12
"""So many past plans are told."""

LEAST_SHARES_OF_CLOSING = 2
"""Setting: a session this many times as long as its closing mix, or longer, has one."""


class NothingToPlan(Refused):
    """There is nothing that a plan could be made of; the text says why."""


def proposed(desk: Desk, player_id: str, minutes: float, on: date, *, closes: bool = False) -> Proposal:
    """A plan of so many minutes for a player on a day, of what is lacking and decided then. Raises NothingToPlan.

    `closes`: its last minutes are a mix in random order, where there is time for one.
    """
    require_planner(desk.reader)
    return questions.kept(desk, _proposed, player_id, minutes, on, closes, locks_of(desk, player_id, on))


def _proposed(desk: Desk, player_id: str, minutes: float, on: date, closes: bool, locks: Locks) -> Proposal:
    gaps = dict(enumerate(questions.feed_next(desk, player_id, on, MOST_GAPS), start=1))
    stands = {s.setup_id: _stand(s) for s in questions.setups_met_by(desk, player_id)}
    if not gaps or not stands:
        raise NothingToPlan(_why_nothing(desk, player_id, has_setups=bool(stands)))
    hand = next(row.handedness for row in questions.players(desk) if row.player_id == player_id)
    feeders = {s.setup_id: s.feeder_setup for s in questions.setups_now(desk, hand)}
    wanted, settings = questions.wanted(desk, player_id, on), questions.settings(desk)
    lacking, shortfall = list(map(_gap, gaps, gaps.values())), Shortfall.on_a_day(wanted, settings)

    def within(fitting_minutes: float) -> Plan:
        return planning.plan(lacking, shortfall, stands.values(), fitting_minutes, settings, locks)

    closing = _closed(within, minutes, wanted, settings, seed_of(player_id, on)) if closes else None
    plan = closing or within(minutes)
    if not plan.blocks:
        raise NothingToPlan(_why_no_block(plan, minutes))
    return Proposal(player_id, on, minutes, gaps, wanted, hand, stands, feeders, plan)


def _closed(
    within: Callable[[float], Plan], minutes: float, wanted: Sequence[Wanted], settings: Settings, seed: int
) -> Plan | None:
    """A plan whose last minutes are the closing mix; None where there is no time for one, or nothing to mix."""
    if minutes < LEAST_SHARES_OF_CLOSING * settings.closing_minutes:
        return None
    plan = within(minutes - settings.closing_minutes)
    block = closing_block(plan, wanted, settings, seed)
    return plan_edits.with_closing(plan, block, settings) if block else None


def seed_of(player_id: str, on: date, again: int = 0) -> int:
    """The seed of a player's closing mix for a day; another one for each time that it is drawn again."""
    return crc32(f"{player_id} {on} {again}".encode())


def _gap(rank: int, row: GapRow) -> Gap:
    return Gap(rank, row.words, row.need_balls, row.why)


def _stand(setup: MetSetupRow) -> Stand:
    return Stand(setup.setup_id, setup.depth, setup.side, Place(setup.x_cm, setup.y_cm))


def dials_of(desk: Desk, feeder: FeederSetup) -> Dials:
    """What is known of the dials of the feeder that stands there; nothing where it is not calibrated."""
    if feeder.feeder_id is None:
        return NOT_CALIBRATED
    return Dials(
        questions.dial_lines(desk, feeder.feeder_id, "speed"), questions.dial_lines(desk, feeder.feeder_id, "spin")
    )


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


def keep(desk: Desk, player_id: str, plan: Plan, meant_for: date, today: date) -> None:
    """Keep a plan for a day, in place of an earlier one for that day; what is past for long goes.

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
        return stored.next_kept(connection, player_id, today, lambda day: questions.fed_on(desk, player_id, day))


def past(desk: Desk, player_id: str, today: date) -> tuple[KeptPlan, ...]:
    """The latest plans of past days, each with what was fed of it on its day."""
    require_open(desk, player_id)
    with club_file(desk.folder) as connection:
        return stored.past(connection, player_id, today, MOST_PAST, lambda day: questions.fed_on(desk, player_id, day))


def locks_of(desk: Desk, player_id: str, on: date) -> Locks:
    """What is decided of a player's balls for a day."""
    require_open(desk, player_id)
    return locks_on(desk, on).get(player_id, NO_LOCKS)


def locks_on(desk: Desk, day: date) -> dict[str, Locks]:
    """What is decided of the balls of those whom one may see, by player."""
    require_planner(desk.reader)
    seen = {player.player_id for player in questions.players(desk)}
    with club_file(desk.folder) as connection:
        return {player: own for player, own in decisions.locks_on(connection, day).items() if player in seen}


def decide(desk: Desk, player_id: str, on: date, ball: Cell, decided: Decision | None, today: date) -> None:
    """A ball must be in a player's plans for a day, or is not for that day; None takes back what was decided."""
    require_planner(desk.reader)
    require_open(desk, player_id)
    with club_file(desk.folder) as connection:
        decisions.decide(connection, player_id, on, ball, decided, maker=desk.reader.account, today=today)
