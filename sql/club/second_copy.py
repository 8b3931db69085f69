"""Every row of the club file is kept twice, so that SQLite's own check finds a changed byte in any value.

SQLite has no checksums: its check holds each index against its table, and looks at nothing else of a value. So each
table has an index over all its columns: the second copy.
"""

import sqlite3


def keep_twice(connection: sqlite3.Connection) -> None:
    """Give each table its index over all columns, as they are now."""
    tables = connection.execute("select name from sqlite_schema where type = 'table' and name not like 'sqlite_%'")
    for (table,) in tables.fetchall():
        columns = connection.execute("select name from pragma_table_info(?) order by cid", [table]).fetchall()
        listed = ", ".join(f'"{name}" collate binary' for (name,) in columns)
        connection.execute(f'drop index if exists "whole_{table}"')
        connection.execute(f'create index "whole_{table}" on "{table}" ({listed})')
