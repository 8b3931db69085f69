"""A published file, as those open it who read: nothing can be written, and nothing outside it can be reached."""

from collections.abc import Iterator
from contextlib import AbstractContextManager, closing, contextmanager
from pathlib import Path
from threading import Lock
from typing import Any

import duckdb
import polars as pl

from models.refusal import Refused
from sql.digests import stamp
from sql.disk import is_damage


class QuestionRefused(Refused):
    """A query that cannot be answered; the text says why."""


def ask_file(publication: Path, question: str, parameters: dict[str, Any]) -> pl.DataFrame:
    """The answer to one SELECT. Raises QuestionRefused where that is at fault, duckdb.Error where the file is."""
    with _KEPT_OPEN.reader_of(publication) as connection:
        try:
            statements = connection.extract_statements(question)
            if len(statements) != 1 or statements[0].type != duckdb.StatementType.SELECT:
                raise QuestionRefused("expected one SELECT, and nothing else: the published tables are read-only.")
            answer: pl.DataFrame = connection.sql(question, params=parameters or None).pl()
        except duckdb.Error as error:
            if isinstance(error, duckdb.IOException) or is_damage(error):
                raise
            raise QuestionRefused(str(error)) from error
        except pl.exceptions.PolarsError as error:
            raise QuestionRefused(
                "a column of the answer is of a type that cannot be told: cast it to varchar."
            ) from error
        return _whole_sums(answer)


def _whole_sums(answer: pl.DataFrame) -> pl.DataFrame:
    """Sums of whole numbers as whole numbers: DuckDB gives them as HUGEINT, which arrives as a decimal."""
    wide = answer.select(name for name, dtype in answer.schema.items() if dtype == pl.Decimal(38, 0))
    whole = wide.cast(pl.Int64, strict=False)
    return answer.with_columns(column for column in whole if column.null_count() == wide[column.name].null_count())


@contextmanager
def read_only(publication: Path) -> Iterator[duckdb.DuckDBPyConnection]:
    """A published file, open for reading; the files around it are out of reach."""
    connection = _opened_to_read(publication)
    try:
        yield connection
    finally:
        connection.close()


def _opened_to_read(publication: Path) -> duckdb.DuckDBPyConnection:
    config: dict[str, Any] = {"enable_external_access": "false", "lock_configuration": "true"}
    return duckdb.connect(str(publication), read_only=True, config=config)


class _KeptOpen:
    """The published file that was asked last, kept open: to open one anew takes longer than most answers."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._file: object = None
        self._connection: duckdb.DuckDBPyConnection | None = None

    def reader_of(self, publication: Path) -> AbstractContextManager[duckdb.DuckDBPyConnection]:
        """A connection for one question. A newer file takes the place of the one that is kept."""
        with self._lock:
            file = (publication, stamp(publication))
            if self._connection is None or file != self._file:
                self._close()
                self._connection = _opened_to_read(publication)
                self._file = file
            # Not a cursor, which would be closed with the connection that it came from.
            return closing(_opened_to_read(publication))

    def _close(self) -> None:
        if self._connection is not None:
            self._connection.close()
            self._connection = None


_KEPT_OPEN = _KeptOpen()
