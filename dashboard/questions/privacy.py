"""What the coordinator asks about what is kept of whom: who is stored, who agreed, who is due to be forgotten."""

from datetime import date
from typing import Any

from dashboard.questions.asking import Desk, answer_rows
from dashboard.rows.club import StoredRow
from models.permits import Reads
from sql.forgetting import GONE


def stored_players(desk: Desk) -> tuple[StoredRow, ...]:
    """Who is stored, by group and name."""
    return _stored(desk)


def without_consent(desk: Desk) -> tuple[StoredRow, ...]:
    """Those of whom nobody has noted that they, or a guardian, agreed."""
    return _stored(desk, "consent_on is null")


def due_to_be_forgotten(desk: Desk, since: date) -> tuple[StoredRow, ...]:
    """Those without a log since this day.

    Who never had a log counts from the day on which a list of players was last loaded.
    """
    return _stored(desk, "last_known_on < $since", since=since)


def _stored(desk: Desk, condition: str = "true", **parameters: Any) -> tuple[StoredRow, ...]:
    # Lines that were kept without a person go by a code that says nothing: nobody is behind it.
    question = f"""
        select player_id, name, group_name, is_active, consent_on, last_logged_on
        from report.stored_players
        where not (player_id like '{GONE}%' and name = player_id and not is_active) and {condition}
        order by group_name, name, player_id
    """
    return answer_rows(desk, StoredRow, question, reads=Reads.LOG, **parameters)
