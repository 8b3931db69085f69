"""Small logs as people send them, for the tests of reading."""

import io
import zipfile
from collections.abc import Callable

import xlsxwriter

from ingest.problems import Unreadable
from ingest.reading import Reading, read_log

HEADER = ["session_date", "player", "setup", "spin", "length", "balls", "good"]
LINE = ["2026-03-02", "P01", "BC", "backspin", "short", "40", "29"]
SESSIONS = ",".join(HEADER) + "\n" + ",".join(LINE) + "\n"


def sessions(*, separator=",", line_end="\n", **columns):
    """A sessions log of the columns given beside the required ones; a list of n cells makes n lines."""
    lines = max([1, *(len(cells) for cells in columns.values())])
    table = {name: [cell] * lines for name, cell in zip(HEADER, LINE, strict=True)} | columns
    rows = [list(table), *([cells[i] for cells in table.values()] for i in range(lines))]
    return line_end.join(separator.join(row) for row in rows) + line_end


def filled(reading: Reading) -> list[dict[str, str]]:
    """The lines read, each without its empty cells and its line number."""
    rows = reading.lines.drop("line").to_dicts()
    return [{name: cell for name, cell in row.items() if cell is not None} for row in rows]


def column(content: bytes, name: str, **said: str) -> list[str | None]:
    """One column of a log, as plain texts."""
    return read_log("week12.csv", content, **said).lines[name].to_list()


def why_unreadable(content: bytes, file_name: str = "week12.csv", **said: str) -> str:
    """The sentence with which a whole file is refused."""
    try:
        read_log(file_name, content, **said)
    except Unreadable as refused:
        assert refused.refusal.line is None
        assert refused.refusal.to_do
        return str(refused)
    raise AssertionError("the file was read")


def workbook(fill: Callable[[xlsxwriter.Workbook], None], **options: bool) -> bytes:
    """The bytes of a workbook that `fill` has written."""
    written = io.BytesIO()
    book = xlsxwriter.Workbook(written, options)
    fill(book)
    book.close()
    return written.getvalue()


def sheet_of(rows: list[list[object]], **options: bool) -> bytes:
    """A workbook with one sheet of these rows, from cell A1."""

    def fill(book: xlsxwriter.Workbook) -> None:
        sheet = book.add_worksheet("Log")
        for number, row in enumerate(rows):
            sheet.write_row(number, 0, row)

    return workbook(fill, **options)


def with_part_changed(content: bytes, part: str, change: Callable[[bytes], bytes]) -> bytes:
    """The same workbook with one of its parts rewritten."""
    source, changed = zipfile.ZipFile(io.BytesIO(content)), io.BytesIO()
    with zipfile.ZipFile(changed, "w", zipfile.ZIP_DEFLATED) as package:
        for name in source.namelist():
            package.writestr(name, change(source.read(name)) if name == part else source.read(name))
    return changed.getvalue()
