"""Questions to the published tables: query."""

import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from dashboard.commands.shared import DATA_DIR, Data, app, screen
from sql.folder import DataFolder


class Format(StrEnum):
    """How an answer is written."""

    TABLE = "table"
    CSV = "csv"
    JSON = "json"
    PARQUET = "parquet"


@app.command("query")
def query_command(
    question: Annotated[str, typer.Argument(help="One SELECT over the tables core.* and report.*.")],
    data: Data = DATA_DIR,
    format: Annotated[Format, typer.Option(help="How the answer is written.")] = Format.TABLE,  # noqa: A002
    out: Annotated[Path | None, typer.Option(help="Write to this file instead.", dir_okay=False)] = None,
) -> None:
    """Ask the published tables a question in SQL. Read-only."""
    from dashboard.commands.answers import written  # noqa: PLC0415 - polars and DuckDB stand behind these
    from dashboard.commands.printing import print_table  # noqa: PLC0415
    from sql.warehouse import ask  # noqa: PLC0415

    answer = ask(DataFolder(data), question)
    if format is Format.TABLE and out is None:
        print_table(screen, answer)
        return
    content = written(answer, format.value)
    if out is None:
        sys.stdout.buffer.write(content)
        sys.stdout.buffer.flush()
    else:
        out.write_bytes(content)
