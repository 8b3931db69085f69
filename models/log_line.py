"""What every kind of line of the log has: columns with a shape, and rules between them."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, ClassVar

from pydantic import BaseModel, ConfigDict, model_validator


@dataclass(frozen=True)
class LineRule:
    """A rule between columns of one line.

    `holds` takes the columns by name and must work on plain values and on column expressions alike, so that one
    rule serves a single form and a whole file. With `empty_counts_as` None the rule is asked only where every column
    is filled; otherwise it is asked where any of `asked_when` is filled, and an empty column counts as that number.
    """

    column: str
    columns: tuple[str, ...]
    holds: Callable[..., Any]
    expected: str
    to_do: str
    asked_when: tuple[str, ...] = ()
    empty_counts_as: int | None = None


class LogLine(BaseModel):
    """What every kind of line has: a tuple of rules, and the columns that tell one line from another."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)

    kind: ClassVar[str]
    about: ClassVar[str]
    identity: ClassVar[tuple[str, ...]]
    rules: ClassVar[tuple[LineRule, ...]] = ()

    @model_validator(mode="after")
    def _keeps_its_rules(self) -> "LogLine":
        for rule in self.rules:
            if not _holds(rule, self):
                raise ValueError(f"{rule.column}: expected {rule.expected}")
        return self


def _holds(rule: LineRule, line: LogLine) -> bool:
    values = {column: getattr(line, column) for column in rule.columns}
    if rule.empty_counts_as is None:
        return None in values.values() or bool(rule.holds(**values))
    if all(values[column] is None for column in rule.asked_when):
        return True
    return bool(rule.holds(**{c: rule.empty_counts_as if v is None else v for c, v in values.items()}))
