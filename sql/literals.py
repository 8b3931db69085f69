"""Texts as SQL writes them, for the statements that take no parameters."""


def literal(text: object) -> str:
    """The text in quotes."""
    return "'" + str(text).replace("'", "''") + "'"


def quoted(name: str) -> str:
    """A name of a column, whatever word of SQL it may be."""
    return '"' + name.replace('"', '""') + '"'


def no_rows(columns: dict[str, str]) -> str:
    """A source without rows: the columns with their types."""
    named = ", ".join(f"cast(null as {kind}) as {quoted(name)}" for name, kind in columns.items())
    return f"(select {named} where false)"
