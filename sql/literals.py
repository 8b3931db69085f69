"""Texts as SQL writes them, for the statements that take no parameters."""


def literal(text: object) -> str:
    """The text in quotes."""
    return "'" + str(text).replace("'", "''") + "'"
