"""What the command line prints: the verdict on a file, and the rows of an answer."""

import re
from typing import TYPE_CHECKING

import polars as pl
from rich.console import Console
from rich.table import Table

from ingest.problems import printable

if TYPE_CHECKING:
    from ingest.loading import Report

SHOWN_REFUSALS = 20

_STEERS = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f]")
"""The control characters but tab and line feed (ECMA-48): a terminal would obey them."""


def print_report(screen: Console, report: "Report") -> None:
    """The verdict on one file: how it was read, what was accepted, what was refused and why."""
    for sentence in verdict(report):
        screen.print(printable(sentence), markup=False)
    for refusal in report.refusals[:SHOWN_REFUSALS]:
        screen.print(f"  {refusal.sentence}", markup=False)
    if len(report.refusals) > SHOWN_REFUSALS:
        screen.print(
            f"  ... and {len(report.refusals) - SHOWN_REFUSALS} more; --refusals DIR writes them all to files."
        )


def verdict(report: "Report") -> list[str]:
    """The verdict on one file in plain sentences."""
    if report.taken is None:
        return [f"{report.file_name}: refused as a whole; nothing was stored."]
    counts = report.comparison
    lines = (
        f"{report.file_name} ({report.taken.kind}): {report.lines_read} lines read, {report.lines_accepted} accepted "
        f"({counts.new} new, {counts.correcting} correcting, {counts.already_there} already there), "
        f"{report.lines_refused} refused."
    )
    sentences = [lines, f"  {' '.join(report.taken.sentences)}"]
    if report.repeats_batch:
        sentences.append(f"  The same file is in force as batch {report.repeats_batch}; nothing was changed.")
    elif report.batch:
        sentences.append(f"  Stored as batch {report.batch}.")
    return sentences


def print_table(screen: Console, answer: pl.DataFrame) -> None:
    """Rows as a table: fitted to a terminal, one full line each in a pipe."""
    table = Table(box=None, pad_edge=False)
    for name, dtype in answer.schema.items():
        table.add_column(name, justify="right" if dtype.is_numeric() else "left", no_wrap=not screen.is_terminal)
    for row in answer.iter_rows():
        table.add_row(*(_shown(value) for value in row))
    if screen.is_terminal:
        screen.print(table)
    else:
        Console(file=screen.file, width=_width(answer), highlight=False).print(table)
    screen.print(f"{answer.height} row{'' if answer.height == 1 else 's'}")


def _shown(value: object) -> str:
    if value is None:
        return "-"
    text = f"{value:.4f}" if isinstance(value, float) else str(value)
    return _STEERS.sub("\ufffd", text).replace("[", "\\[")


def _width(answer: pl.DataFrame) -> int:
    rows = [answer.columns, *([_shown(value) for value in row] for row in answer.iter_rows())]
    return sum(max(len(str(row[i])) for row in rows) + 2 for i in range(answer.width)) + 1
