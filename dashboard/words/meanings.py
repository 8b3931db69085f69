"""What is said of the columns and words of files that the log does not know."""

import json
from collections.abc import Iterable

from models.records import Column
from sql.club.file_meanings import Said

NOT_READ = "not read"
ASKED = (
    "The log has no such columns. Say what they are, and the file is read by it; what is not read stays in your file "
    "and nowhere else."
)


def column_in_words(column: Column | None) -> str:
    """A column of the log to choose from."""
    return NOT_READ if column is None else f"{column.name}: {column.help}"


def source_in_words(source: str) -> str:
    """Which files are meant."""
    letters, header = json.loads(source)
    called = f"called “{letters}…”" if letters else "without a word in their names"
    columns = ", ".join(header[:4])
    return f"files {called} with the {len(header)} columns {columns}{', …' if len(header) > 4 else ''}"


def remember_in_words(source: str, said: Iterable[Said]) -> str:
    """The question whether that is to be remembered."""
    meanings = ", ".join(f"{one.typed} is {one.meant}" for one in said)
    return f"Remember for {source_in_words(source)}: {meanings}"
