"""DuckDB's own parse of a query: each node with what it stands in, and the types of the columns that it can see."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import duckdb

Node = dict[str, Any]
Types = dict[str, dict[str, str]]
"""For each table, or name by which a query knows one, the types of its columns."""

ALWAYS_DOUBLE = {"/", "avg", "exp", "ln", "sqrt", "round", "floor", "atan", "degrees"}
ALWAYS_WHOLE = {"count", "count_star", "date_diff", "row_number", "dense_rank", "year"}


@dataclass(frozen=True)
class Spot:
    """A node of the parse, the expression around it, and the tables it can see."""

    node: Node
    around: Node
    tables: Types

    @property
    def function(self) -> str | None:
        """The function or operator that it calls, if it does."""
        return self.node.get("function_name")

    @property
    def is_expression(self) -> bool:
        """It is an expression, not a source or a query."""
        return "class" in self.node

    def arguments(self) -> list[Node]:
        """What it is called with."""
        return [argument["expression"] for argument in self.node.get("arguments", [])]

    def type_of(self, node: Node) -> str | None:
        """The type of an expression where this node stands."""
        return type_of(node, self.tables)


def type_of(node: Node, tables: Types) -> str | None:
    """The type of an expression, as far as the rules need it."""
    match node:
        case {"class": "COLUMN_REF", "column_names": names}:
            return _column_type(names, tables)
        case {"class": "CONSTANT", "literal": {"kind": kind}}:
            return {"NUMERIC": "DOUBLE", "INTEGER": "BIGINT", "STRING": "VARCHAR"}.get(kind)
        case {"class": "CAST", "type_expr": {"type_name": name}}:
            return str(name).upper()
        case {"function_name": name} if name in ALWAYS_DOUBLE | ALWAYS_WHOLE:
            return "DOUBLE" if name in ALWAYS_DOUBLE else "BIGINT"
    types = [type_of(part, tables) for part in _parts(node)]
    return "DOUBLE" if "DOUBLE" in types else next((found for found in types if found), None)


def _parts(node: Node) -> list[Node]:
    """The expressions that give an expression its type."""
    match node:
        case {"class": "CASE", "case_checks": checks, "else_expr": otherwise}:
            return [*(check["then_expr"] for check in checks), otherwise]
        case {"class": "OPERATOR", "type": "OPERATOR_COALESCE", "children": children}:
            return list(children)
        case {"arguments": arguments}:
            return [argument["expression"] for argument in arguments]
    return []


def _column_type(names: list[str], tables: Types) -> str | None:
    *qualifier, column = names
    seen = [tables[qualifier[-1]]] if qualifier and qualifier[-1] in tables else list(tables.values())
    return next((types[column] for types in seen if column in types), None)


def spots_of(connection: duckdb.DuckDBPyConnection, query: str) -> Iterator[Spot]:
    """Every node of a query's parse; the top is marked `is_top`, the selects whose rows it gives `is_final`.

    Every table that it reads is there, if only empty: the types of its columns are asked for.
    """
    parsed = json.loads(connection.execute("select json_serialize_sql(?)", [query]).fetchall()[0][0])
    if parsed["error"]:
        raise ValueError(f"{parsed['error_message']}: {query}")
    (statement,) = parsed["statements"]
    top = statement["node"]
    tables = _stored_tables(connection) | _common_tables(connection, top)
    top["is_top"] = True
    for final in (top, *top.get("children", [])):
        final["is_final"] = True
    yield from _walk(top, {}, {}, tables)


def _stored_tables(connection: duckdb.DuckDBPyConnection) -> Types:
    rows = connection.execute("select schema_name, table_name, column_name, data_type from duckdb_columns()").fetchall()
    tables: Types = {}
    for schema, table, column, data_type in rows:
        tables.setdefault(f"{schema}.{table}", {})[column] = data_type
    return tables


def _common_tables(connection: duckdb.DuckDBPyConnection, top: Node) -> Types:
    """The types of each common table expression, by asking for all of it."""
    entries = top["cte_map"]["map"]
    tables: Types = {}
    for at, entry in enumerate(entries, start=1):
        text = json.dumps(_all_of(connection, entry["key"], entries[:at]))
        asked = connection.execute("select json_deserialize_sql(?)", [text]).fetchall()[0][0]
        described = connection.execute(f"describe {asked}").fetchall()
        tables[entry["key"]] = {column: data_type for column, data_type, *_ in described}
    return tables


def _all_of(connection: duckdb.DuckDBPyConnection, name: str, entries: list[Node]) -> Node:
    text = connection.execute("select json_serialize_sql(?)", [f'select * from "{name}"']).fetchall()[0][0]
    parsed: Node = json.loads(text)
    parsed["statements"][0]["node"]["cte_map"]["map"] = entries
    return parsed


def _walk(node: Any, around: Node, seen: Types, tables: Types) -> Iterator[Spot]:
    if isinstance(node, list):
        for part in node:
            yield from _walk(part, around, seen, tables)
    elif isinstance(node, dict):
        if node.get("type") == "SELECT_NODE":
            own = dict(_sources(node["from_table"], tables))
            seen = own | {name: types for name, types in seen.items() if name not in own}
        yield Spot(node, around, seen)
        for part in node.values():
            yield from _walk(part, node if "class" in node else around, seen, tables)


def _sources(source: Node | None, tables: Types) -> Iterator[tuple[str, dict[str, str]]]:
    match source:
        case {"type": "BASE_TABLE", "schema_name": schema, "table_name": table, "alias": alias}:
            yield alias or table, tables.get(f"{schema}.{table}" if schema else table, {})
        case {"type": "JOIN", "left": left, "right": right}:
            yield from _sources(left, tables)
            yield from _sources(right, tables)
