"""Which players, feeders and setups were to come in by lines that were refused: what names them follows from that."""

import json

import duckdb

from models.shapes import BLANKS

CODED = {"players": "player", "feeders": "feeder", "setups": "setup"}
"""The kinds whose lines bring a code that other lines name, each with its column."""


def codes_of_refused(connection: duckdb.DuckDBPyConnection) -> dict[str, dict[str, str]]:
    """By kind, the code in each refused line of a batch in force, as typed, with where it stands: file and line."""
    rows = connection.execute(
        "select b.kind, b.file_name, b.header, r.line, r.cells"
        " from log.refusals as r inner join log.batches as b on r.club_id = b.club_id and r.batch = b.batch"
        " where b.withdrawn_at is null and r.fault = 1 and b.kind in ('players', 'feeders', 'setups')"
        " order by r.batch, r.line"
    ).fetchall()
    found: dict[str, dict[str, str]] = {}
    for kind, file_name, header, line, cells in rows:
        if code := _code(CODED[kind], json.loads(header), json.loads(cells)):
            found.setdefault(kind, {})[code] = f"line {line} of {file_name}"
    return found


def _code(column: str, header: list[str], cells: list[str | None]) -> str | None:
    typed = zip(header, cells, strict=False)
    return next((cell.strip(BLANKS) for name, cell in typed if cell and name.strip(BLANKS).lower() == column), None)
