"""What the page at the table asks: which balls a player was fed lately, and where the setups stand for that player."""

from datetime import date
from itertools import groupby

from dashboard.questions.asking import Desk, answer_rows
from dashboard.rows.feeding import FedBallsRow, FedRow, MetSetupRow
from models.kept_plan import Fed, LoggedBlock
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


def fed_on(desk: Desk, player_id: str, day: date) -> tuple[LoggedBlock, ...]:
    """The blocks that the log has of a player on a day."""
    found = answer_rows(
        desk,
        FedBallsRow,
        f"""
        select
            session_id, block, feed, max(setup_id) as setup, {", ".join(f"max({n}) as {n}" for n in DIMENSION.names)},
            max(tempo_bpm) as tempo_bpm, max(stroke) as stroke, cast(sum(balls) as bigint) as balls
        from core.fed_lines
        where player_id = $player_id and session_date = $day
        group by session_id, block, feed
        order by session_id, block, feed
        """,
        player_id=player_id,
        day=day,
        reads=Reads.ONE_PLAYER,
    )
    blocks = groupby(found, key=lambda row: (row.session_id, row.block))
    return tuple(
        LoggedBlock(session, block, Fed([feed.said for feed in feeds], sum(feed.balls for feed in feeds)))
        for (session, block), feeds in ((key, list(rows)) for key, rows in blocks)
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
