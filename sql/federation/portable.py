"""The subset of SQL that the models keep to, so that a larger engine can run the same files to the same answers.

Engines differ in more than syntax: a decimal constant makes another engine round, a cast of a double cuts where DuckDB
rounds, text made of a double looks otherwise. The rules are strict on purpose. They look at DuckDB's own parse of a
query; a function or form joins the lists when it is known to mean the same everywhere.
"""

from collections.abc import Callable, Iterable

import duckdb

from sql.catalogue import BrokenModel, Model
from sql.federation.parsed_sql import Node, Spot, spots_of, type_of

FUNCTIONS = {
    *("+", "-", "*", "/", "abs", "exp", "ln", "sqrt", "round", "floor", "greatest", "least", "nullif"),
    *("count", "count_star", "sum", "avg", "min", "max", "row_number", "dense_rank", "lag", "lead"),
    *("concat", "concat_ws", "left", "date_trunc", "date_diff", "year"),
    # One argument each, a double in and a double out, the same principal value everywhere. (atan2 is not here: engines
    # do not agree on the order of its arguments.)
    *("atan", "degrees"),
}
EXPRESSIONS = {
    *("BETWEEN", "CASE", "CAST", "COLUMN_REF", "COMPARISON", "CONJUNCTION", "CONSTANT", "FUNCTION", "OPERATOR"),
    *("STAR", "SUBQUERY", "TYPE", "WINDOW"),
}
OPERATORS = {
    "OPERATOR_COALESCE",
    "OPERATOR_IS_NULL",
    "OPERATOR_IS_NOT_NULL",
    "OPERATOR_NOT",
    "COMPARE_IN",
    "GROUPING_FUNCTION",
}
SOURCES = {"BASE_TABLE", "JOIN", "EXPRESSION_LIST", "EMPTY"}
QUERIES = {"SELECT_NODE", "SET_OPERATION_NODE"}
STORED_TYPES = {"BOOLEAN", "SMALLINT", "INTEGER", "BIGINT", "DOUBLE", "VARCHAR", "DATE", "TIMESTAMP"}
WHOLE_NUMBERS = {"SMALLINT", "INTEGER", "BIGINT"}
NEEDS_ORDER = {"row_number", "dense_rank", "lag", "lead"}


def _is_cast_to(spot: Spot, types: set[str]) -> bool:
    return spot.node.get("class") == "CAST" and type_of(spot.node, {}) in types


def _rounds_silently(spot: Spot) -> bool:
    if not _is_cast_to(spot, WHOLE_NUMBERS):
        return False
    child = spot.node["child"]
    return spot.type_of(child) == "DOUBLE" and child.get("function_name") not in ("round", "floor")


def _may_divide_by_zero(spot: Spot) -> bool:
    if spot.function != "/":
        return False
    under = spot.arguments()[1]
    if under.get("function_name") == "ln":
        under = under["arguments"][0]["expression"]
    return under["class"] != "CONSTANT" and under.get("function_name") != "nullif"


def _is_plain_join(node: Node) -> bool:
    kinds = node["ref_type"] in {"REGULAR", "CROSS"} and node["join_type"] in {"INNER", "LEFT", "OUTER"}
    return kinds and not node["using_columns"]


def _is_plain_window(spot: Spot) -> bool:
    node = spot.node
    has_order = bool(node["orders"]) or spot.function not in NEEDS_ORDER
    is_plain = node["exclude_clause"] == "NO_OTHER" and not node["distinct"] and node["filter_expr"] is None
    return has_order and is_plain and "GROUPS" not in node["start"] + node["end"]


def _is_plain_star(node: Node) -> bool:
    return not (node["columns"] or node["exclude_list"] or node["replace_list"] or node["rename_list"])


RULES: dict[str, Callable[[Spot], bool]] = {
    "a constant with a point is a decimal: write 1e0": lambda s: (
        s.node.get("class") == "CONSTANT"
        and s.node["literal"]["kind"] == "NUMERIC"
        and "e" not in s.node["literal"]["text"].lower()
    ),
    "a function that is not on the list": lambda s: s.function is not None and s.function not in FUNCTIONS,
    "a form of expression that is not on the list": lambda s: s.is_expression and s.node["class"] not in EXPRESSIONS,
    "an operator that is not on the list": lambda s: (
        s.node.get("class") == "OPERATOR" and s.node["type"] not in OPERATORS
    ),
    "a comparison of distinctness: compare, and say what null means": lambda s: (
        s.node.get("class") == "COMPARISON" and "DISTINCT" in s.node["type"]
    ),
    "a source that is not a table, a join or values": lambda s: (
        not s.is_expression and "sample" in s.node and "modifiers" not in s.node and s.node["type"] not in SOURCES
    ),
    "a join that is not inner, left, full or cross with 'on'": lambda s: (
        s.node.get("type") == "JOIN" and not _is_plain_join(s.node)
    ),
    "a query that is not a select or a union": lambda s: (
        "modifiers" in s.node and (s.node["type"] not in QUERIES or s.node.get("setop_type", "UNION") != "UNION")
    ),
    "a 'with' inside another: write them one after the other": lambda s: (
        bool((s.node.get("cte_map") or {}).get("map")) and not s.node.get("is_top", False)
    ),
    "a hint to materialise": lambda s: s.node.get("materialized", "") not in ("", "CTE_MATERIALIZE_DEFAULT"),
    "group by all: write the columns out": lambda s: (
        s.node.get("aggregate_handling", "STANDARD_HANDLING") != "STANDARD_HANDLING"
    ),
    "a sample is another one elsewhere": lambda s: s.node.get("sample") is not None,
    "a limit, or distinct on: take row_number by a unique key": lambda s: (
        s.node.get("type") == "LIMIT_MODIFIER" or bool(s.node.get("distinct_on_targets"))
    ),
    "a star that picks or renames columns": lambda s: s.node.get("class") == "STAR" and not _is_plain_star(s.node),
    "a star in the final select": lambda s: (
        s.node.get("is_final", False) and any(column["class"] == "STAR" for column in s.node.get("select_list", []))
    ),
    "a window without order, with distinct, filter, exclude or groups": lambda s: (
        s.node.get("class") == "WINDOW" and not _is_plain_window(s)
    ),
    "an aggregate with an order of its own": lambda s: bool((s.node.get("order_bys") or {}).get("orders")),
    "a cast that may fail, or to a type that is not stored": lambda s: (
        s.node.get("class") == "CAST" and (s.node["try_cast"] or not _is_cast_to(s, STORED_TYPES))
    ),
    "text made of a double": lambda s: _is_cast_to(s, {"VARCHAR"}) and s.type_of(s.node["child"]) == "DOUBLE",
    "a double cast to a whole number: round or floor it first": _rounds_silently,
    "a division by what may be zero: nullif(x, 0)": _may_divide_by_zero,
    "a sum of doubles, which depends on the order of the rows: add whole parts, round(1e12 * x)": lambda s: (
        s.function in ("sum", "avg") and any(s.type_of(part) == "DOUBLE" for part in s.arguments())
    ),
    "a difference of days: date_diff": lambda s: (
        s.function == "-" and [s.type_of(part) for part in s.arguments()] == ["DATE", "DATE"]
    ),
    "date_trunc without a cast to date": lambda s: (
        s.function == "date_trunc" and not _is_cast_to(Spot(s.around, {}, {}), {"DATE"})
    ),
    "date_diff of anything but days": lambda s: (
        s.function == "date_diff" and s.arguments()[0].get("literal", {}).get("text") != "day"
    ),
    "a column that no table has: an alias cannot be used beside its definition": lambda s: (
        s.node.get("class") == "COLUMN_REF" and s.type_of(s.node) is None
    ),
}


def require_portable(connection: duckdb.DuckDBPyConnection, models: Iterable[Model]) -> None:
    """Every model keeps to the subset. Raises BrokenModel, naming all that do not.

    Every table is there, if only empty: the types of its columns are asked for.
    """
    broken = [
        f"{model.table}: {'; '.join(sorted(rules))}" for model in models if (rules := offences(connection, model.query))
    ]
    if broken:
        raise BrokenModel(
            "These models would not say the same on every engine. " + " ".join(f"{line}." for line in broken)
        )


def offences(connection: duckdb.DuckDBPyConnection, query: str) -> set[str]:
    """The rules that a query breaks."""
    spots = list(spots_of(connection, query))
    return {rule for rule, is_broken in RULES.items() if any(is_broken(spot) for spot in spots)}
