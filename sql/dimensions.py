"""The coverage dimensions in SQL: a line of a model that names one in braces stands once for each that is declared.

`{dimension}` stands for every one of `models.words.COVERAGE_DIMENSIONS`, with its `{meaning}`; `{logged}` for those
that are columns of the log. So no model spells the list, and what is built has a column for each.
"""

from models.records import LOGGED_DIMENSIONS
from models.words import COVERAGE_DIMENSIONS, WordList

MOST_WORDS_NAMED = 3


def with_dimensions(text: str) -> str:
    """The text of a model, or of a header, with such lines written out."""
    return "\n".join(written for line in text.splitlines() for written in _written_out(line))


def _written_out(line: str) -> list[str]:
    if "{dimension}" in line:
        return [_named(line, words) for words in COVERAGE_DIMENSIONS]
    if "{logged}" in line:
        return [_named(line, words) for words in COVERAGE_DIMENSIONS if words.name in LOGGED_DIMENSIONS]
    return [line]


def _named(line: str, words: WordList) -> str:
    few = f": {', '.join(words.names)}" if len(words.names) <= MOST_WORDS_NAMED else ""
    for mark, text in (("{dimension}", words.name), ("{logged}", words.name), ("{meaning}", words.about + few)):
        line = line.replace(mark, text)
    return line
