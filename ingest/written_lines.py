"""Lines written on a screen, made into a file like any other, so that they go the same way into the log."""

import csv
import io
from collections.abc import Iterable, Mapping
from typing import Any

from ingest.incoming import Incoming
from models.records import RECORDS, Column, SessionLine, columns_of


def lines_as_file(lines: Iterable[Mapping[str, Any]], name: str, kind: str = SessionLine.kind) -> Incoming:
    """Lines of one kind as a file of it; a column that a line does not name is empty."""
    text = io.StringIO()
    names = [column.name for column in columns_of(RECORDS[kind])]
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(names)
    writer.writerows([_cell(line.get(column)) for column in names] for line in lines)
    return Incoming(name, text.getvalue().encode(), source="form", kind=kind)


def _cell(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.9f}".rstrip("0").rstrip(".")
    return "" if value is None else str(value)


def asked_as(column: Column) -> str:
    """The name of a field on the screen: its column's, with the unit apart and a star where it is needed."""
    name, unit = column.name, column.shape.unit
    if unit not in ("", "date"):
        name = name.removesuffix("_bpm").removesuffix("_cm").removesuffix("_deg")
    unit = f" ({unit})" if unit not in ("", "date", name) else ""
    return f"{name.replace('_', ' ').capitalize()}{unit}{' *' if column.is_required else ''}"
