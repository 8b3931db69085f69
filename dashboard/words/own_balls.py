"""Balls that players logged of themselves, in words: whose word it is, and whose is noted as the coach's."""

from collections.abc import Iterable, Mapping
from datetime import date, timedelta

from dashboard.rows.club import OwnBallsRow, TableBlockRow

WHAT_IT_IS = (
    "Players counted these balls of themselves at the table. They are marked until somebody who trains the player "
    "accepts them. Accept a block when you saw it, or believe it; withdraw it where it cannot be so."
)
COUNTED_MEANWHILE = "Until then they count in every figure, and a line beside the figures says how many they are."
LEFT_OUT_MEANWHILE = "Until then they are left out of every figure: so the club has set it (counts_own_balls)."
NOTHING_WAITS = "Nothing waits to be accepted."


def who_counted(block: TableBlockRow) -> str:
    """Anna counted, and noted M. Roe as the coach: the one was signed in, the other is a claim."""
    noted = f", and noted {block.coach} as the coach" if block.coach else ""
    return f"{block.counted_by} counted{noted}"


def block_in_words(block: TableBlockRow, name: str) -> str:
    """Whose block, which, and how it went."""
    day = f"{block.session_date.day} {block.session_date:%B %Y}"
    return f"{name}, {day}, block {block.block}: {_balls(block.balls)}, {block.good} good"


def own_share(row: OwnBallsRow | None, name: str | None) -> str | None:
    """How many of the window's balls are the player's own word; None where none is. `name` is None for the player."""
    if row is None or row.own_balls == 0:
        return None
    whose = "you counted yourself" if name is None else f"{name} counted alone"
    return f"{row.own_balls} of the {_balls(row.balls)} of this window {whose}; no coach has accepted them yet."


def own_shares(rows: Iterable[OwnBallsRow], names: Mapping[str, str]) -> str | None:
    """The same of several players, for a board: how many of whose balls are their own word. None where none is."""
    shares = [f"{names[row.player_id]} {row.own_balls} of {row.balls:,}" for row in rows if row.player_id in names]
    return (
        f"Balls of this window that players counted alone, not accepted yet: {'; '.join(shares)}." if shares else None
    )


def own_within(blocks: Iterable[TableBlockRow], first: date, last: date, player: str | None = None) -> str | None:
    """How many balls of these days wait for a coach's word; of one player where one is named. None where none does."""
    waiting = [block for block in blocks if first <= block.session_date <= last and player in (None, block.player_id)]
    if not waiting:
        return None
    whose = "players counted of themselves" if player is None else "were counted by the player alone"
    told = f"{_balls(sum(block.balls for block in waiting))} of these days {whose}"
    return f"{told} (in {len(waiting)} block{'s' * (len(waiting) != 1)}); no coach has accepted them yet."


def own_in_week(blocks: Iterable[TableBlockRow], monday: date) -> str | None:
    """The same of everybody in one week."""
    return own_within(blocks, monday, monday + timedelta(days=6))


def _balls(number: int) -> str:
    return f"{number:,} ball" if number == 1 else f"{number:,} balls"
