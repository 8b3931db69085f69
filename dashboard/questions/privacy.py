"""What the coordinator asks about what is kept of whom: who is stored, who agreed, who is due to be forgotten."""

from datetime import date

import polars as pl

from dashboard.questions.asking import Desk, answer
from models.permits import Reads
from sql.forgetting import GONE

# Lines that were kept without a person go by a code that says nothing: nobody is behind it.
_STORED = (
    "select p.player_id, p.name, p.group_name, p.is_active, p.consent_on, max(s.session_date) as last_logged_on"
    " from core.players as p"
    " left join core.sessions as s on s.club_id = p.club_id and s.player_id = p.player_id"
    f" where not (p.player_id like '{GONE}%' and p.name = p.player_id and not p.is_active)"
    " group by p.club_id, p.player_id, p.name, p.group_name, p.is_active, p.consent_on"
    "{} order by p.group_name, p.name, p.player_id"
)


def stored_players(desk: Desk) -> pl.DataFrame:
    """Who is stored: player_id, name, group_name, is_active, consent_on, last_logged_on; by group and name."""
    return answer(desk, _STORED.format(""), reads=Reads.LOG)


def without_consent(desk: Desk) -> pl.DataFrame:
    """Those of whom nobody has noted that they, or a guardian, agreed; the columns of stored_players."""
    return answer(desk, _STORED.format(" having p.consent_on is null"), reads=Reads.LOG)


def due_to_be_forgotten(desk: Desk, since: date) -> pl.DataFrame:
    """Those without a log since this day; the columns of stored_players.

    Who never had a log counts from the day on which a list of players was last loaded.
    """
    last_listed = (
        "(select cast(max(loaded_at) as date) from core.batches where kind = 'players' and withdrawn_at is null)"
    )
    due = f" having coalesce(max(s.session_date), {last_listed}) < $since"
    return answer(desk, _STORED.format(due), since=since, reads=Reads.LOG)
