"""The taps in the club file: each stored once, under the id that the phone gave it; undone ones do not count."""

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import singledispatch
from typing import Any

from models.tap_events import MOST_TAPS, Ball, Begin, Done, Event, NotUnderstood, Undo, event_of
from sql.club.file import ClubConnection, all_or_nothing, now_utc

UNKNOWN_BLOCK = "The club's computer does not know this block."
NOT_YOURS = "This block was begun by somebody else, who alone can count on."
NOT_ALLOWED = "You may not log for this player (any more). Ask the coordinator of the club."

NO_SUCH_FEED = "The block has no feed of this number."
IS_FULL = "The block has as many taps as one may have. Finish it and begin another."
IS_SETTLED = (
    "The block has been in the log for long: what comes now is not added to it. Write it as a block of its own."
)


@dataclass(frozen=True)
class Scorer:
    """Who counts: the account, for whom it may log (by the player's code), and whether it looks after everybody."""

    account: int
    may_log: Callable[[str], bool]
    is_coordinator: bool


@dataclass(frozen=True)
class Held:
    """An event that was not stored, and why; the phone keeps it."""

    id: str
    why: str
    is_block_unknown: bool


@dataclass(frozen=True)
class Stored:
    """What became of a message: the ids that are on the club's disk, now or since an earlier message; and the rest."""

    saved: list[str]
    held: list[Held]


def store(
    connection: ClubConnection, scorer: Scorer, events: Sequence[dict[str, Any]], most_taps: int = 2 * MOST_TAPS
) -> Stored:
    """Store what a phone sent, all of it in one transaction; what cannot be stored is held back with the reason.

    `most_taps`: so many taps one block may have.
    """
    saved: list[str] = []
    held: list[Held] = []
    if not events:  # Whoever only asks how the blocks stand waits for no writer.
        return Stored(saved, held)
    with all_or_nothing(connection):
        for event in events:
            why = _why_not(connection, scorer, event, most_taps)
            if why is None:
                saved.append(str(event["id"]))
            else:
                held.append(Held(str(event.get("id"))[:64], why, why == UNKNOWN_BLOCK))
    return Stored(saved, held)


def _why_not(connection: ClubConnection, scorer: Scorer, values: dict[str, Any], most_taps: int) -> str | None:
    """Store one event; why it cannot be stored, or None where it is."""
    try:
        event = event_of(values)
    except NotUnderstood as error:
        return str(error)
    if isinstance(event, Begin):
        if not scorer.may_log(event.player):
            return NOT_ALLOWED
        _begin(connection, scorer.account, event)
    block = connection.execute(
        "select account, player, pruned_at, taps_here, json_array_length(described, '$.feeds') as feeds"
        " from table_blocks where block = ?",
        [event.block],
    ).fetchone()
    if why := _not_for(block, scorer, event) or _no_room(connection, block, event, most_taps):
        return why
    _keep(event, connection)
    return None


def _not_for(block: Any, scorer: Scorer, event: Event) -> str | None:
    if block is None:
        return UNKNOWN_BLOCK
    if not scorer.may_log(block["player"]):
        return NOT_ALLOWED
    if block["account"] != scorer.account:
        return NOT_YOURS
    if isinstance(event, Ball) and event.feed > block["feeds"]:
        return NO_SUCH_FEED
    return None


def _no_room(connection: ClubConnection, block: Any, event: Event, most_taps: int) -> str | None:
    if not isinstance(event, Ball | Undo) or not (block["pruned_at"] or block["taps_here"] >= most_taps):
        return None
    if connection.execute("select 1 from taps where tap = ?", [event.id]).fetchone():
        return None  # It is here already, and only its acknowledgement was lost.
    return IS_SETTLED if block["pruned_at"] else IS_FULL


def _begin(connection: ClubConnection, account: int, event: Begin) -> None:
    # `or ignore` would pass over a broken check as well, and a tap would be lost; only the same id is the same tap.
    connection.execute(
        "insert into table_blocks (block, account, player, session_date, session, described, state, begun_at,"
        " changed_at) values (?, ?, ?, ?, ?, ?, 'counting', ?, ?) on conflict (block) do nothing",
        [
            event.block,
            account,
            event.player,
            event.session_date.isoformat(),
            event.session,
            json.dumps({"values": event.values, "feeds": event.feeds}),
            *[now_utc()] * 2,
        ],
    )


@singledispatch
def _keep(event: Event, connection: ClubConnection) -> None:
    """Store an event of a block that is there; an event that is there already changes nothing."""


@_keep.register
def _(event: Ball, connection: ClubConnection) -> None:
    _add_tap(connection, event, "ball", event.feed, event.outcome, None)


@_keep.register
def _(event: Undo, connection: ClubConnection) -> None:
    _add_tap(connection, event, "undo", None, None, event.undoes)


def _add_tap(
    connection: ClubConnection, event: Ball | Undo, kind: str, feed: int | None, outcome: str | None, undoes: str | None
) -> None:
    added = connection.execute(
        "insert into taps (tap, block, place, kind, feed, outcome, undoes) values (?, ?, ?, ?, ?, ?, ?)"
        " on conflict (tap) do nothing",
        [event.id, event.block, event.place, kind, feed, outcome, undoes],
    ).rowcount
    if added:
        _count(connection, event)
        # A block that was finished without its phone goes into the log once more when the phone turns up again.
        connection.execute(
            "update table_blocks set state = 'done', changed_at = ?"
            " where block = ? and state in ('done', 'in_log', 'refused')",
            [now_utc(), event.block],
        )


def _count(connection: ClubConnection, event: Ball | Undo) -> None:
    """Keep how many taps and balls the block has: an undo may be here before its ball, and counts once."""
    tap = event.id if isinstance(event, Ball) else event.undoes
    ball = connection.execute(
        "select outcome, (select count(*) from taps as u where u.block = b.block and u.undoes = b.tap) as undone"
        " from taps as b where b.block = ? and b.tap = ? and b.kind = 'ball'",
        [event.block, tap],
    ).fetchone()
    more = 0
    if ball and isinstance(event, Ball):
        more = 0 if ball["undone"] else 1
    elif ball:
        more = -1 if ball["undone"] == 1 else 0
    connection.execute(
        "update table_blocks set taps_here = taps_here + 1, balls_here = balls_here + ?, good_here = good_here + ?"
        " where block = ?",
        [more, more if ball and ball["outcome"] == "good" else 0, event.block],
    )


@_keep.register
def _(event: Done, connection: ClubConnection) -> None:
    state = "dropped" if event.is_dropped else "done"
    connection.execute(
        "update table_blocks set state = ?, taps_to_come = ?, minutes = ?, effort = ?, note = ?, changed_at = ?"
        " where block = ? and state <> 'dropped' and (state = 'counting' or ? > taps_to_come)",
        [state, event.taps, event.minutes, event.effort, event.note, now_utc(), event.block, event.taps],
    )
