"""A block counted at the table, made into a ball log like any other, so that it goes the same way into the log."""

import csv
import io
from collections.abc import Sequence

from ingest.loading import Incoming
from models.records import BallLine, columns_of
from sql.club.blocks import Block, Hit


def as_file(block: Block, number: int, hits: Sequence[Hit]) -> Incoming:
    """The block as a balls file of one line for each ball. The same block with the same balls gives the same bytes."""
    names = [column.name for column in columns_of(BallLine)]
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(names)
    for ball, hit in enumerate(hits, start=1):
        cells = block.values | block.feeds[hit.feed - 1]
        cells |= {"session": block.session, "block": number, "feed": hit.feed, "ball": ball, "outcome": hit.outcome}
        writer.writerow(["" if cells.get(name) is None else str(cells[name]) for name in names])
    # No player in the name: the name outlives the player's being forgotten.
    name = f"table-{block.session_date}-{block.block[:12]}.csv"
    return Incoming(name, text.getvalue().encode(), source="table", kind=BallLine.kind)
