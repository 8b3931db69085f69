"""Blocks that were counted at the table, as the club file has them: open, done, on their way into the log."""

import json
from dataclasses import dataclass
from typing import Any

from sql.club.file import ClubConnection, all_or_nothing, now_utc
from sql.club.taps import Scorer

MOST_SHOWN = 50
MOST_SHOWN_OF_ONE = 10
"""Of what others have counted, so that nobody's open blocks hide another's."""


@dataclass(frozen=True)
class Hit:
    """A ball that counts: its tap, which feed it was, what became of it."""

    tap: str
    feed: int
    outcome: str


@dataclass(frozen=True)
class Block:
    """A block as the club file has it."""

    block: str
    account: int | None
    maker: str
    player: str
    session_date: str
    session: str
    values: dict[str, Any]
    feeds: list[dict[str, Any]]
    state: str
    balls: int
    good: int
    number: int | None
    batch: int | None
    message: str | None
    changed_at: str


_BLOCKS = """
    select b.*, coalesce(a.name, 'somebody who has left') as maker
    from table_blocks as b
    left join accounts as a on b.account = a.account
    where {}
"""


def blocks_to_hand_over(connection: ClubConnection) -> list[Block]:
    """The blocks that are done and whose taps are all here, in the order in which they were begun."""
    condition = "b.state = 'done' and b.taps_here >= b.taps_to_come"
    rows = connection.execute(f"{_BLOCKS.format(condition)} order by b.begun_at")
    return [_block(row) for row in rows.fetchall()]


def blocks_shown_to(connection: ClubConnection, scorer: Scorer) -> list[Block]:
    """What an account has counted, and to a coordinator what is stuck of others; the settled ones come last.

    Of each account the latest, so many at most.
    """
    own = _latest(connection, "b.account = ?", scorer.account, MOST_SHOWN)
    if not scorer.is_coordinator:
        return own
    others = connection.execute(
        "select distinct account from table_blocks where state not in ('in_log', 'dropped') and account is not ?",
        [scorer.account],
    ).fetchall()
    stuck = "b.account is ? and b.state not in ('in_log', 'dropped')"
    return own + [block for (one,) in others for block in _latest(connection, stuck, one, MOST_SHOWN_OF_ONE)]


def _latest(connection: ClubConnection, condition: str, account: int | None, most: int) -> list[Block]:
    rows = connection.execute(
        f"{_BLOCKS.format(condition)} order by b.state in ('in_log', 'dropped'), b.begun_at desc limit ?",
        [account, most],
    )
    return [_block(row) for row in rows.fetchall()]


def prune(connection: ClubConnection, before: str) -> None:
    """Drop the taps of blocks that have been in the log, or dropped, since before this instant: the log has them."""
    with all_or_nothing(connection):
        settled = "state in ('in_log', 'dropped') and pruned_at is null and changed_at < ?"
        connection.execute(
            f"delete from taps where block in (select block from table_blocks where {settled})", [before]
        )
        connection.execute(f"update table_blocks set pruned_at = ? where {settled}", [now_utc(), before])


def _block(row: Any) -> Block:
    described = json.loads(row["described"])
    return Block(
        block=row["block"],
        account=row["account"],
        maker=row["maker"],
        player=row["player"],
        session_date=row["session_date"],
        session=row["session"],
        values=described["values"] | {"minutes": row["minutes"], "effort": row["effort"], "note": row["note"]},
        feeds=described["feeds"],
        state=row["state"],
        balls=row["balls_here"],
        good=row["good_here"],
        number=row["number"],
        batch=row["batch"],
        message=row["told"],
        changed_at=row["changed_at"],
    )


def hits_of(connection: ClubConnection, block: str) -> list[Hit]:
    """The balls of a block that count, in their order."""
    rows = connection.execute(
        "select b.tap, b.feed, b.outcome from taps as b"
        " where b.block = ? and b.kind = 'ball'"
        " and not exists (select 1 from taps as u where u.block = b.block and u.undoes = b.tap)"
        " order by b.place, b.tap",
        [block],
    )
    return [Hit(*row) for row in rows.fetchall()]


def numbered(connection: ClubConnection, block: Block, first_free: int) -> int:
    """The number of a block in its session, given once: at least `first_free`, and after every other one given here."""
    if block.number is not None:
        return block.number
    with all_or_nothing(connection):
        connection.execute(
            "update table_blocks set number = max(?, (select coalesce(max(o.number), 0) + 1 from table_blocks as o"
            " where o.player = ? and o.session_date = ? and o.session = ?)) where block = ? and number is null",
            [first_free, block.player, block.session_date, block.session, block.block],
        )
        row = connection.execute("select number from table_blocks where block = ?", [block.block]).fetchone()
    return int(row["number"])


def settle(connection: ClubConnection, block: Block, state: str, batch: int | None, message: str | None) -> None:
    """Note what became of a block, unless taps have come in since it was read."""
    connection.execute(
        "update table_blocks set state = ?, batch = coalesce(?, batch), told = ? where block = ? and changed_at = ?",
        [state, batch, message, block.block, block.changed_at],
    )


def try_again(connection: ClubConnection, scorer: Scorer, block: str) -> bool:
    """Put a refused block in line once more; whether there was one that this account looks after."""
    changed = connection.execute(
        "update table_blocks set state = 'done', changed_at = ?"
        " where block = ? and state = 'refused' and (account = ? or ?)",
        [now_utc(), block, scorer.account, scorer.is_coordinator],
    )
    return changed.rowcount == 1


def finish(connection: ClubConnection, scorer: Scorer, block: str) -> bool:
    """Finish a block with the taps that are here; whether there was one open that this account looks after."""
    changed = connection.execute(
        "update table_blocks set state = 'done', changed_at = ?,"
        " taps_to_come = taps_here"
        " where block = ? and state = 'counting' and (account = ? or ?)",
        [now_utc(), block, scorer.account, scorer.is_coordinator],
    )
    return changed.rowcount == 1
