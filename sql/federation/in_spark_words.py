"""A query in DuckDB's words, put into Spark's. Only what `portable` lets pass means the same in both."""

import sqlglot
from sqlglot import exp

TYPES = {
    "VARCHAR": "string",
    "DOUBLE": "double",
    "BIGINT": "bigint",
    "INTEGER": "int",
    "SMALLINT": "smallint",
    "BOOLEAN": "boolean",
    "DATE": "date",
    "TIMESTAMP": "timestamp_ntz",
}


def spark_type(duckdb_type: str) -> str:
    """Spark's name of a type that is stored."""
    return TYPES[duckdb_type]


def in_spark_words(query: str) -> str:
    """The same query for Spark, in which the table `core.x` is the view `core__x`."""
    tree = sqlglot.parse_one(query, read="duckdb")
    for table in tree.find_all(exp.Table):
        if table.db:
            table.set("this", exp.to_identifier(f"{table.db}__{table.name}"))
            table.set("db", None)
    return tree.sql("spark", unsupported_level=sqlglot.ErrorLevel.RAISE)
