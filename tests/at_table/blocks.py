"""What a phone would say, made by hand: a block with its taps."""

from typing import Any
from uuid import uuid4

from sql.club.blocks import Block, blocks_shown_to
from sql.club.file import ClubConnection
from sql.club.taps import Scorer

Said = dict[str, Any]

SHORT_BACKSPIN = {"setup": "NC", "spin": "backspin", "length": "short"}
LONG_TOPSPIN = {"setup": "BC", "spin": "topspin", "length": "long", "tempo_bpm": 40}


def new_id() -> str:
    """An id as a phone makes one."""
    return uuid4().hex


class PhoneBlock:
    """A block on a phone: every method gives the event that the phone would send."""

    def __init__(self, player: str = "ADA", day: str = "2025-03-12") -> None:
        self.block = new_id()
        self.player, self.day = player, day
        self.taps: list[Said] = []

    def _event(self, kind: str, **said: Any) -> Said:
        return {"kind": kind, "id": new_id(), "block": self.block, **said}

    def begin(self, *feeds: Said) -> Said:
        """The block begins, with one feed or several in turn."""
        values = {"player": self.player, "session_date": self.day, "coach": "M. Roe", "order": "serial"}
        return self._event("begin", values=values, feeds=list(feeds) or [SHORT_BACKSPIN])

    def ball(self, outcome: str = "good", feed: int = 1) -> Said:
        """One ball."""
        self.taps.append(self._event("ball", place=len(self.taps) + 1, feed=feed, outcome=outcome))
        return self.taps[-1]

    def balls(self, *outcomes: str) -> list[Said]:
        """Several balls of the first feed."""
        return [self.ball(outcome) for outcome in outcomes]

    def undo(self, ball: Said) -> Said:
        """A ball does not count."""
        self.taps.append(self._event("undo", place=len(self.taps) + 1, undoes=ball["id"]))
        return self.taps[-1]

    def done(self, taps: int | None = None, **closing: Any) -> Said:
        """The block is done, with all its taps or with so many."""
        return self._event("done", taps=len(self.taps) if taps is None else taps, **closing)


def block_of(connection: ClubConnection, block: str) -> Block | None:
    """One block, as it is shown to whoever counted it; None where there is none of this id."""
    found = connection.execute("select account from table_blocks where block = ?", [block]).fetchone()
    if found is None:
        return None
    maker = Scorer(found["account"], lambda _: True, is_coordinator=False)
    return next(one for one in blocks_shown_to(connection, maker) if one.block == block)
