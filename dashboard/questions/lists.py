"""What is asked of the club's lists, where they are changed: players, feeders, setups, targets."""

from collections.abc import Callable
from typing import TypeVar

from dashboard.questions.asking import Desk, answer_rows
from dashboard.rows.lists import CoveredRow, ListedFeeder, ListedPlayer, ListedSetup, SavedRow, WantedShareRow
from models.permits import Reads
from sql.warehouse import NothingPublished

LATELY = 6

_WANTED = """
    select target, applies_to, dimension, value, share
    from core.target_shares
    where applies_to = $applies_to and ($player_id is null or applies_to = $player_id)
    order by dimension, value
"""

R = TypeVar("R")


def listed_players(desk: Desk) -> tuple[ListedPlayer, ...]:
    """Every player whom one may read, also those who no longer train; by group and name."""
    question = """
        select
            player_id, name, handedness, group_name, birth_year, level, joined_on, is_active, consent_on,
            hand_since
        from core.players
        order by is_active desc, group_name, name, player_id
    """
    return _or_none(lambda: answer_rows(desk, ListedPlayer, question, reads=Reads.PLAYERS))


def listed_feeders(desk: Desk) -> tuple[ListedFeeder, ...]:
    """Every feeder, by code."""
    question = """
        select
            feeder_id as feeder, name, make, speed_dial_lowest, speed_dial_highest, spin_dial_lowest, spin_dial_highest,
            note
        from core.feeders
        order by feeder_id
    """
    return _or_none(lambda: answer_rows(desk, ListedFeeder, question, reads=Reads.NOBODY))


def listed_setups(desk: Desk) -> tuple[ListedSetup, ...]:
    """Every setup as it stands now, by code."""
    question = """
        select
            setup_id as setup, name, feeding, feeder_id as feeder, x_cm, y_cm, release_height_cm, yaw_deg, net_folded,
            valid_from, note
        from core.setups
        where valid_to is null and handedness = 'right'
        order by setup_id
    """
    return _or_none(lambda: answer_rows(desk, ListedSetup, question, reads=Reads.NOBODY))


def wanted_of_all(desk: Desk, applies_to: str) -> tuple[WantedShareRow, ...]:
    """What is wanted for a group, or for * by a target of its own; by dimension and value."""
    return _or_none(
        lambda: answer_rows(desk, WantedShareRow, _WANTED, applies_to=applies_to, player_id=None, reads=Reads.CLUB)
    )


def wanted_of_one(desk: Desk, player_id: str) -> tuple[WantedShareRow, ...]:
    """What is wanted for a player by a target of their own; by dimension and value."""
    return answer_rows(desk, WantedShareRow, _WANTED, applies_to=player_id, player_id=player_id, reads=Reads.ONE_PLAYER)


def saved_lately(desk: Desk, kind: str) -> tuple[SavedRow, ...]:
    """The last batches of one of the lists, the latest first."""
    question = f"""
        select batch, file_name, lines_accepted, loaded_by, loaded_at, withdrawn_at is not null as is_withdrawn
        from core.batches
        where kind = $kind
        order by batch desc
        limit {LATELY}
    """
    return _or_none(lambda: answer_rows(desk, SavedRow, question, kind=kind, reads=Reads.CLUB))


def covered_now(desk: Desk) -> tuple[CoveredRow, ...]:
    """How much of their grid the active players whom one may read cover in the last week of the log; by name."""
    question = """
        select p.player_id, p.name, v.cells, v.cells_covered
        from core.players as p
        left join report.variety as v
            on p.player_id = v.player_id and v.week = (select max(week) from core.weeks)
        where p.is_active
        order by p.name, p.player_id
    """
    return _or_none(lambda: answer_rows(desk, CoveredRow, question, reads=Reads.PLAYERS))


def _or_none(asked: Callable[[], tuple[R, ...]]) -> tuple[R, ...]:
    """What was asked; nothing before anything is loaded."""
    try:
        return asked()
    except NothingPublished:
        return ()
