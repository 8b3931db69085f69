"""Models made into tables of an open file, and judgements after them; each held to its header and to its checks."""

from collections.abc import Callable, Iterator

import duckdb
import polars as pl

from models.refusal import Refused
from sql.carrying import Carried, looked_at, require_unchanged
from sql.catalogue import Check, Contract, Model
from sql.few_transactions import few_transactions
from sql.judging import Judgement, all_evidence
from sql.literals import literal

ROWS_IN_TRANSACTION = 20_000
"""Enough for all tables of a small club's week together; a table of more is written in a transaction of its own."""

Progress = Callable[[int, int, str], None]


class BuildFailed(Refused):
    """A model broke its contract or a check that stops; what was published before stays in force."""


def make_tables(
    connection: duckdb.DuckDBPyConnection,
    models: tuple[Model, ...],
    progress: Progress = lambda *_: None,
    carry: Carried | None = None,
) -> tuple[str, ...]:
    """Make each model's table, hold it to its header and its checks; the warnings. Raises BuildFailed."""
    warnings: list[str] = []
    for schema in sorted({model.schema for model in models}):
        connection.execute(f"create schema if not exists {schema}")
    with few_transactions(connection, ROWS_IN_TRANSACTION) as written:
        for done, model in enumerate(models):
            progress(done, len(models), model.table)
            if carry and model.carried:
                written(rows := _make_since(connection, model, carry))
                warnings += run_checks(connection, model, carry.anew(model)) if rows else []
                continue
            written(rows := _make_from(connection, model, f"({model.query})"))
            warnings += run_checks(connection, model) if rows else []
            if carry and model.table in looked_at(models):
                require_unchanged(connection, model, carry)
    progress(len(models), len(models), "judgements")
    return tuple(warnings)


def make_judgements(connection: duckdb.DuckDBPyConnection, judgements: tuple[Judgement, ...]) -> tuple[str, ...]:
    """Make the second stage's tables from those of the first; the warnings. Raises BuildFailed."""
    evidence = all_evidence(connection, judgements)
    warnings: list[str] = []
    with few_transactions(connection, ROWS_IN_TRANSACTION) as written:
        for judgement in judgements:
            judged = pl.concat([judgement.judge(of_club).select(*judgement.columns) for of_club in evidence])
            connection.register("rows_to_store", judged)
            written(rows := _make_from(connection, judgement, "rows_to_store"))
            connection.unregister("rows_to_store")
            warnings += run_checks(connection, judgement) if rows else []
    return tuple(warnings)


def _make_from(connection: duckdb.DuckDBPyConnection, model: Contract, source: str) -> int:
    """Make a table in the order of its grain, with the comments of its header; its rows. Raises BuildFailed."""
    try:
        ordered = f"select * from {source} order by {', '.join(model.grain)}"
        ((rows,),) = connection.execute(f"create or replace table {model.table} as {ordered}").fetchall()
    except duckdb.Error as error:
        raise BuildFailed(f"{model.table}: {error}") from error
    columns = connection.table(model.table).columns
    if columns != list(model.columns):
        raise BuildFailed(f"{model.table}: its header names {list(model.columns)}, its query gives {columns}.")
    # Fetched, so that nothing of it is open when the rows are let go of.
    connection.execute("; ".join(_comments(model))).fetchall()
    return int(rows)


def _make_since(connection: duckdb.DuckDBPyConnection, model: Model, carry: Carried) -> int:
    """Put the rows that are made anew behind those that are carried over; how many they are. Raises BuildFailed."""
    anew = carry.anew(model)
    ordered = f"select * from ({carry.query(model)}) where {anew} order by {', '.join(model.grain)}"
    try:
        connection.execute(f"delete from {model.table} where {anew}")
        ((rows,),) = connection.execute(f"insert into {model.table} {ordered}").fetchall()
    except duckdb.Error as error:
        raise BuildFailed(f"{model.table}: {error}") from error
    return int(rows)


def _comments(model: Contract) -> Iterator[str]:
    yield f"comment on table {model.table} is {literal(model.about)}"
    for column, meaning in model.columns.items():
        yield f'comment on column {model.table}."{column}" is {literal(meaning)}'


def run_checks(connection: duckdb.DuckDBPyConnection, model: Contract, where: str = "true") -> list[str]:
    """Hold a published table, or some rows of it, to its grain and its checks; the warnings. Raises BuildFailed."""
    grain = ", ".join(model.grain)
    wrong_key = " or ".join(["count(*) > 1", *(f"{key} is null" for key in model.grain)])
    any_broken = "".join(f" or bool_or(not ({check.condition}))" for check in model.checks)
    keys = f"select {grain} from {model.table} where {where} group by {grain} having {wrong_key}"
    if not connection.execute(f"{keys}{any_broken} limit 1").fetchall():
        return []  # One look at the table for all of them, as nearly always.
    if offending := connection.execute(f"{keys} limit 3").fetchall():
        fault = "an empty key in" if None in offending[0] else "more than one row for"
        raise BuildFailed(f"{model.table}: {fault} {grain}: {offending}")
    return [warning for check in model.checks if (warning := _broken(connection, model, check, where))]


def _broken(connection: duckdb.DuckDBPyConnection, model: Contract, check: Check, where: str) -> str | None:
    grain = ", ".join(model.grain)
    question = f"select {grain} from {model.table} where {where} and not ({check.condition}) limit 3"
    offending = connection.execute(question).fetchall()
    if not offending:
        return None
    sentence = f"{model.table}: expected {check.condition}; not so for {grain} = {offending}"
    if check.severity == "stop":
        raise BuildFailed(sentence)
    return sentence
