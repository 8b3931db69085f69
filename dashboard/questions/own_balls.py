"""What is asked of blocks counted at the table: who counted, whom they noted as the coach, and who accepted it."""

from datetime import date

from dashboard.questions.asking import Desk, answer_rows
from dashboard.rows.club import OwnBallsRow, TableBlockRow
from models.permits import Reads

_BLOCKS = """
    select
        batch, player_id, session_id, session_date, block, balls, good, counted_by, coach, loaded_at, is_own,
        accepted_by
    from core.table_blocks
    where {}
    order by loaded_at desc, batch desc, player_id
"""


def table_blocks(desk: Desk) -> tuple[TableBlockRow, ...]:
    """The blocks that were counted at the table, the latest first."""
    return answer_rows(desk, TableBlockRow, _BLOCKS.format("true"), reads=Reads.PLAYERS)


def waiting_blocks(desk: Desk) -> tuple[TableBlockRow, ...]:
    """Those of them that a player counted of themselves and nobody has accepted, the latest first."""
    return answer_rows(desk, TableBlockRow, _BLOCKS.format("is_own and accepted_by is null"), reads=Reads.PLAYERS)


def own_balls(desk: Desk, week: date) -> tuple[OwnBallsRow, ...]:
    """Of each player in whose window there are such balls, how many are their own word; the most first."""
    return answer_rows(
        desk,
        OwnBallsRow,
        """
        select player_id, balls, own_balls
        from report.own_balls
        where week = $week and own_balls > 0
        order by own_balls desc, player_id
        """,
        week=week,
        reads=Reads.PLAYERS,
    )
