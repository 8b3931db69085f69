"""What the page at the table asks: which balls a player was fed lately, and where the setups stand for that player."""

from dashboard.questions.asking import Desk, answer_rows
from dashboard.rows.feeding import FedRow, MetSetupRow
from models.permits import Reads
from models.words import DIMENSION


def fed_lately(desk: Desk, player_id: str, blocks: int) -> tuple[FedRow, ...]:
    """The feeds of a player's latest blocks, the latest block first, its feeds in their order."""
    return answer_rows(
        desk,
        FedRow,
        f"""
        select
            session_date, session_id, block, feed, order_declared, setup_id as setup, {", ".join(DIMENSION.names)},
            tempo_bpm, stroke
        from report.fed_blocks
        where player_id = $player_id and blocks_ago <= $blocks
        order by blocks_ago, feed
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
