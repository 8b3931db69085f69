"""The SQL models: found by their path, read with their header, ordered by what their queries name.

A model file is a comment header and exactly one select. `sql/report/variety.sql` is the table `report.variety`.
"""

import json
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path
from typing import Any

import duckdb

from sql.dimensions import with_dimensions

SCHEMAS = ("core", "report")
MAY_READ = {"core": {"log", "core"}, "report": {"core", "report"}}
"""`core` may not read `report`; `report` may not read `log`."""


SEVERITIES = ("stop", "warn")

CARRIED = {"by week": "week", "by session": "session_id"}
"""What a header may promise of its rows, and the column that tells which these are."""


class BrokenModel(Exception):
    """A model file that does not keep the house's rules; the text says which and how."""


@dataclass(frozen=True)
class Check:
    """A condition that is true of every row of a model. `stop` fails a build, `warn` is told."""

    severity: str
    condition: str


@dataclass(frozen=True)
class Contract:
    """What a header promises of a published table."""

    schema: str
    name: str
    about: str
    grain: tuple[str, ...]
    columns: dict[str, str]
    checks: tuple[Check, ...]

    @property
    def table(self) -> str:
        """Its name in the published file."""
        return f"{self.schema}.{self.name}"


@dataclass(frozen=True)
class Model(Contract):
    """One SQL model, as its file declares it."""

    query: str
    reads: frozenset[str]
    carried: str | None
    """Which of its rows a build may carry over from the last publication: by week, by session, or none."""


@cache
def models_in_order(root: Path = Path(__file__).parent) -> tuple[Model, ...]:
    """Every model, each after those that it reads. Raises BrokenModel."""
    models = {model.table: model for model in _find(root)}
    for model in models.values():
        _require_readable(model, models)
    # Sorted, so that every process finds the same order.
    graph = {name: sorted(model.reads & models.keys()) for name, model in sorted(models.items())}
    try:
        return tuple(models[name] for name in TopologicalSorter(graph).static_order())
    except CycleError as error:
        raise BrokenModel("these models read each other in a circle: " + " -> ".join(error.args[1])) from error


def models_needed(tables: Iterable[str]) -> tuple[Model, ...]:
    """Of the models those of these tables, and all that they read, in order."""
    needed, models = set(tables), models_in_order()
    for model in reversed(models):
        if model.table in needed:
            needed |= model.reads
    return tuple(model for model in models if model.table in needed)


def _find(root: Path) -> Iterator[Model]:
    for schema in SCHEMAS:
        for file in sorted((root / schema).glob("*.sql")):
            yield read_model(schema, file.stem, file.read_text(encoding="utf-8"))


def _require_readable(model: Model, models: dict[str, Model]) -> None:
    for read in sorted(model.reads):
        schema = read.split(".")[0]
        if schema not in MAY_READ[model.schema]:
            raise BrokenModel(f"{model.table} reads {read}: a model of {model.schema} may not read {schema}.")
        if schema in SCHEMAS and read not in models:
            raise BrokenModel(f"{model.table} reads {read}, and there is no such model.")


def read_model(schema: str, name: str, text: str) -> Model:
    """A model from the text of its file. Raises BrokenModel."""
    header, query = _split_header(f"{schema}.{name}", with_dimensions(text))
    contract = read_contract(schema, name, header)
    reads = frozenset(tables_read(contract.table, query))
    return Model(**vars(contract), query=query, reads=reads, carried=_carried(contract, header))


def _carried(contract: Contract, header: list[str]) -> str | None:
    """Raises BrokenModel where the header's word for it is not known, or the table lacks the column that it needs."""
    period = " ".join(_sections(header)["carried"])
    if not period:
        return None
    if CARRIED.get(period) not in contract.columns:
        raise BrokenModel(
            f"{contract.table}: expected 'carried: ' and one of {CARRIED} with its column, saw '{period}'."
        )
    return period


def read_contract(schema: str, name: str, header: list[str]) -> Contract:
    """What the lines of a header promise; sections begin after one blank. Raises BrokenModel."""
    table = f"{schema}.{name}"
    sections = _sections(header)
    if lacking := [section for section in ("about", "grain", "columns") if not sections[section]]:
        raise BrokenModel(f"{table}: the header says nothing under {', '.join(lacking)}.")
    columns = dict(_pair(table, line) for line in sections["columns"])
    grain = tuple(part.strip() for part in " ".join(sections["grain"]).split(","))
    if strange := [part for part in grain if part not in columns]:
        raise BrokenModel(f"{table}: the grain names {', '.join(strange)}, which the header has no column for.")
    checks = tuple(_check(table, line) for line in sections["checks"])
    return Contract(schema, name, " ".join(sections["about"]), grain, columns, checks)


def _split_header(table: str, text: str) -> tuple[list[str], str]:
    lines = text.splitlines()
    count = next((i for i, line in enumerate(lines) if not line.startswith("--")), len(lines))
    if not count:
        raise BrokenModel(f"{table}: the file must begin with a comment header: what it is, grain, columns.")
    return [line[2:].rstrip() for line in lines[:count]], "\n".join(lines[count:]).strip()


def _sections(header: list[str]) -> dict[str, list[str]]:
    sections: dict[str, list[str]] = {"about": [], "grain": [], "columns": [], "checks": [], "carried": []}
    current = "about"
    for line in header:
        found = re.match(r" (grain|columns|checks|carried):\s*(.*)$", line)
        current, rest = (found[1], found[2]) if found else (current, line.strip())
        if rest:
            sections[current].append(rest)
    return sections


def _pair(table: str, line: str) -> tuple[str, str]:
    name, _, meaning = (part.strip() for part in line.partition(":"))
    if not meaning:
        raise BrokenModel(f"{table}: expected 'column: meaning' in the header, saw '{line}'.")
    return name, meaning


def _check(table: str, line: str) -> Check:
    severity, _, condition = (part.strip() for part in line.partition(":"))
    if severity not in SEVERITIES or not condition:
        raise BrokenModel(f"{table}: expected 'stop: condition' or 'warn: condition' in the header, saw '{line}'.")
    return Check(severity, condition)


def tables_read(table: str, query: str) -> set[str]:
    """The schema-qualified tables that a query names, by DuckDB's own parse. Raises BrokenModel."""
    parsed = json.loads(_parser().cursor().execute("select json_serialize_sql(?)", [query]).fetchall()[0][0])
    if parsed["error"]:
        raise BrokenModel(f"{table}: {parsed['error_message']}")
    if len(parsed["statements"]) != 1:
        raise BrokenModel(f"{table}: expected one select, saw {len(parsed['statements'])} statements.")
    nodes = list(_nodes(parsed))
    named = {(node["schema_name"], node["table_name"]) for node in nodes if node.get("type") == "BASE_TABLE"}
    common = {entry["key"] for node in nodes for entry in (node.get("cte_map") or {}).get("map", [])}
    bare = {name for schema, name in named if not schema} - common
    if bare:
        raise BrokenModel(f"{table}: name the schema of {', '.join(sorted(bare))}.")
    return {f"{schema}.{name}" for schema, name in named if schema}


@cache
def _parser() -> duckdb.DuckDBPyConnection:
    return duckdb.connect(config={"threads": 1})  # It has no threads of its own: a process may be forked beside it.


def _nodes(tree: Any) -> Iterator[dict[str, Any]]:
    """Every object in a parse tree."""
    waiting = [tree]
    while waiting:
        node = waiting.pop()
        if isinstance(node, dict):
            yield node
            waiting.extend(node.values())
        elif isinstance(node, list):
            waiting.extend(node)
