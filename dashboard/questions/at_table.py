"""What the page at the table asks: which balls a player was fed lately, and where the setups stand for that player."""

import polars as pl

from dashboard.questions.asking import Desk, answer, answer_rows
from dashboard.rows.feeding import MetSetupRow
from models.permits import Reads


def fed_lately(desk: Desk, player_id: str, blocks: int) -> pl.DataFrame:
    """The feeds of a player's latest blocks, the latest block first, its feeds in their order."""
    return answer(
        desk,
        """
        with

        feeds as (
            select
                session_date, session_id, block, feed,
                max(order_declared) as order_declared, max(setup_id) as setup, max(spin) as spin,
                max(sidespin) as sidespin, max(length) as length, max(placement) as placement, max(height) as height,
                max(tempo_bpm) as tempo_bpm, max(stroke) as stroke
            from core.fed_lines
            where player_id = $player_id
            group by session_date, session_id, block, feed
        )

        select *
        from feeds
        qualify dense_rank() over (order by session_date desc, session_id desc, block desc) <= $blocks
        order by session_date desc, session_id desc, block desc, feed
        """,
        player_id=player_id,
        blocks=blocks,
        reads=Reads.ONE_PLAYER,
    )


def setups_met_by(desk: Desk, player_id: str) -> tuple[MetSetupRow, ...]:
    """The setups as they stand now, as a player meets them."""
    return answer_rows(
        desk,
        MetSetupRow,
        "select s.setup_id, s.name, s.depth, s.side, s.x_cm, s.y_cm from core.setups as s"
        " inner join core.players as p on s.handedness = p.handedness"
        " where p.player_id = $player_id and s.valid_to is null order by s.setup_id",
        player_id=player_id,
        reads=Reads.ONE_PLAYER,
    )
