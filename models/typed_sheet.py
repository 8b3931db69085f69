"""A sheet of paper while it is typed back: which block and which player the next line is for, and what was typed."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from models.written_line import NotReadable, Values, read_line


@dataclass(frozen=True)
class TypedSheet:
    """Lines of the session log as far as they are typed.

    `players` in the order of the sheet, `first_blocks` the number of each one's next block. `planned`: the balls of
    the blocks that are planned for the one player, in order, each as columns of the log; taken where a line is counts
    alone.
    """

    players: Sequence[str]
    first_blocks: Mapping[str, int]
    planned: Sequence[Values] = ()
    lines: tuple[Values, ...] = ()
    ball: Values | None = None
    """The ball that was typed last: further counts are of it."""
    turn: int = 0
    """How many players were passed since it was."""

    @property
    def expects(self) -> tuple[str, int]:
        """Whose counts the next line is, and of which block."""
        player = self.players[self.turn % len(self.players)]
        return player, self._block(player)

    @property
    def next_planned(self) -> Values | None:
        """The planned ball that counts alone are of; None where none is left, or the sheet is a group's."""
        at = len(self.lines)
        return self.planned[at] if self.ball is None and at < len(self.planned) else None

    def typed(self, text: str, setups: Collection[str]) -> TypedSheet:
        """After one more line: a ball with its counts, a ball alone, counts alone, or `-` for who had none.

        Raises NotReadable.
        """
        if text.strip() == "-" and len(self.players) > 1:
            return replace(self, turn=self.turn + 1)
        read = read_line(text, setups)
        of_ball = {name: value for name, value in read.ball.items() if name not in ("minutes", "effort")}
        if "setup" in read.ball:
            begun = replace(self, ball=of_ball, turn=0)
            return begun._counted(read.ball, read.counts) if read.counts else begun
        ball = self.ball or self.next_planned
        if not read.counts or ball is None:
            raise NotReadable(
                f"Saw {text[:40]!r}, expected the setup, what is ringed, and the counts, such as BC b s 30 21."
            )
        return self._counted(ball | read.ball, read.counts)

    def without_last(self) -> TypedSheet:
        """With the last line taken back."""
        return replace(self, lines=self.lines[:-1], turn=max(self.turn - 1, 0))

    def _counted(self, ball: Values, counts: Values) -> TypedSheet:
        player, block = self.expects
        line = {**ball, **counts, "player": player, "block": str(block)}
        return replace(self, lines=(*self.lines, line), turn=self.turn + 1)

    def _block(self, player: str) -> int:
        """A planned ball has the number of its block; any other comes after the player's last."""
        if (planned := self.next_planned) is not None and "block" in planned:
            return self.first_blocks[player] - 1 + int(planned["block"])
        own = [int(line["block"]) for line in self.lines if line["player"] == player]
        return max([self.first_blocks[player] - 1, *own]) + 1
