"""Questions to the published tables: query."""

import sys
from enum import StrEnum
from io import BytesIO
from pathlib import Path
from typing import Annotated

import polars as pl
import typer

from dashboard.commands.printing import print_table
from dashboard.commands.shared import DATA_DIR, Data, app, screen
from ingest.csv_out import harmless_texts
from sql.folder import DataFolder
from sql.published_file import QuestionRefused
from sql.warehouse import ask


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
    answer = ask(DataFolder(data), question)
    if format is Format.TABLE and out is None:
        print_table(screen, answer)
        return
    content = _written(answer, format)
    if out is None:
        sys.stdout.buffer.write(content)
        sys.stdout.buffer.flush()
    else:
        out.write_bytes(content)


def _written(answer: pl.DataFrame, form: Format) -> bytes:
    if form is not Format.PARQUET:
        _refuse_what_no_text_can_hold(answer, form)
    if form is Format.PARQUET:
        stream = BytesIO()
        answer.write_parquet(stream)
        return stream.getvalue()
    if form is Format.JSON:
        return answer.write_json().encode() + b"\n"
    return harmless_texts(answer).write_csv().encode()


def _refuse_what_no_text_can_hold(answer: pl.DataFrame, form: Format) -> None:
    """Lists and the like in CSV, bytes in CSV and JSON. Raises QuestionRefused."""
    unfit = [
        name
        for name, dtype in answer.schema.items()
        if dtype == pl.Binary or (form is not Format.JSON and dtype.is_nested())
    ]
    if unfit:
        raise QuestionRefused(
            f"saw lists, structures or bytes in {', '.join(unfit)}, which {form.value} cannot hold: "
            "cast them to varchar, or ask for parquet."
        )
