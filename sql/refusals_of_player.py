"""Refused lines of a player: those whose cell in the column player holds the code."""

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass

from sql.warehouse import Connection


@dataclass(frozen=True)
class RefusedCells:
    """A refused line as it was typed."""

    batch: int
    line: int
    header: tuple[str, ...]
    cells: tuple[str, ...]

    def is_of(self, player: str) -> bool:
        """It is a line of this player."""
        named = zip(self.header, self.cells, strict=False)
        return any(_squeezed(name) == "player" and cell.strip() == player for name, cell in named)


def refused_cells(connection: Connection) -> Iterator[RefusedCells]:
    """Every refused line of the log."""
    rows = connection.execute(
        "select distinct r.batch, r.line, b.header, r.cells from log.refusals as r"
        " join log.batches as b on r.club_id = b.club_id and r.batch = b.batch order by r.batch, r.line"
    )
    for batch, line, header, cells in rows.fetchall():
        yield RefusedCells(batch, line, tuple(json.loads(header)), tuple(cell or "" for cell in json.loads(cells)))


def _squeezed(name: str) -> str:
    return re.sub(r"[\W_]+", "", name).casefold()
