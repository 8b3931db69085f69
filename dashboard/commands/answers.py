"""An answer to a question as bytes: CSV, JSON or Parquet."""

from io import BytesIO

import polars as pl

from ingest.csv_out import harmless_texts
from sql.published_file import QuestionRefused


def written(answer: pl.DataFrame, form: str) -> bytes:
    """The answer in a form: parquet, json, or else CSV. Raises QuestionRefused where the form cannot hold it."""
    if form == "parquet":
        stream = BytesIO()
        answer.write_parquet(stream)
        return stream.getvalue()
    _refuse_what_no_text_can_hold(answer, form)
    if form == "json":
        return answer.write_json().encode() + b"\n"
    return harmless_texts(answer).write_csv().encode()


def _refuse_what_no_text_can_hold(answer: pl.DataFrame, form: str) -> None:
    """Lists and the like in CSV, bytes in CSV and JSON. Raises QuestionRefused."""
    unfit = [
        name for name, dtype in answer.schema.items() if dtype == pl.Binary or (form != "json" and dtype.is_nested())
    ]
    if unfit:
        raise QuestionRefused(
            f"saw lists, structures or bytes in {', '.join(unfit)}, which {form} cannot hold: "
            "cast them to varchar, or ask for parquet."
        )
