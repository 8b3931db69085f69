"""How the blocks that were counted at the table stand, as the phone is told."""

from typing import Any

from dashboard import questions
from dashboard.questions import Desk
from sql.club.blocks import Block
from sql.club.taps import Scorer
from sql.warehouse import NothingPublished


def waiting_batches(desk: Desk) -> frozenset[int]:
    """The batches of the blocks that a player counted alone and no coach has accepted."""
    try:
        return frozenset(block.batch for block in questions.waiting_blocks(desk))
    except NothingPublished:
        return frozenset()


def shown(block: Block, scorer: Scorer, waiting: frozenset[int]) -> dict[str, Any]:
    """One block, for whoever asks; `waiting` are the batches that no coach has accepted."""
    return {
        "block": block.block,
        "is_mine": block.account == scorer.account,
        "maker": block.maker,
        "player": block.player,
        "session_date": block.session_date,
        "state": block.state,
        "number": block.number,
        "waits_for_coach": block.state == "in_log" and block.batch in waiting,
        "message": block.message,
        "feeds": block.feeds,
        "balls": block.balls,
        "good": block.good,
    }
