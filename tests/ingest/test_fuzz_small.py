"""The readers on files that nobody should send, by fixed seeds. In full: tests/torture/fuzz_readers."""

import io
import random
import zipfile
from collections.abc import Iterator
from dataclasses import replace
from xml.parsers.expat import ExpatError

import pytest

from ingest import reading as reading_module
from ingest.bounds import MOST_WORKBOOK_ROWS
from ingest.problems import Unreadable
from ingest.reading import Reading, read_log
from ingest.screening import screen
from ingest.sheet_size import has_far_cell, shown_bytes
from sql.warehouse import Connection, memory_warehouse
from tests.ingest.log_files import SESSIONS, sheet_of, why_unreadable, with_part_changed
from tests.torture import fuzz_checks
from tests.torture.fuzz_cases import Case, case_of
from tests.torture.fuzz_checks import Figures, examine

SHEET, TEXTS = "xl/worksheets/sheet1.xml", "xl/sharedStrings.xml"
CASES = {"bytes": 100, "text": 80, "csv": 25, "xlsx": 25}


@pytest.fixture(scope="module")
def connection() -> Iterator[Connection]:
    with memory_warehouse() as connection:
        yield connection


@pytest.mark.parametrize("family", CASES)
def test_no_file_however_bad_breaks_the_readers_or_loses_a_line(family: str, connection: Connection) -> None:
    """Refused as a whole with a reason, or: accepted + refused = read, stored so, and the file to mend reads back."""
    figures = Figures()

    for seed in range(CASES[family]):
        examine(case_of(family, random.Random(seed).randbytes(800)), connection, figures)

    assert figures.cases == CASES[family]
    assert figures.lines_accepted + figures.lines_refused == figures.lines_read
    assert bool(figures.lines_read) == (family != "bytes")


def test_a_reader_that_lost_a_line_would_be_found(connection: Connection, monkeypatch: pytest.MonkeyPatch) -> None:
    def forgetful(name: str, content: bytes, **said: str | None) -> Reading:
        read = read_log(name, content, **said)
        return replace(read, lines=read.lines.head(1))

    monkeypatch.setattr(fuzz_checks, "read_log", forgetful)
    two_lines = SESSIONS + SESSIONS.splitlines()[1] + "\n"

    with pytest.raises(AssertionError):
        examine(Case("week.csv", two_lines.encode(), lines=2), connection, Figures())


def test_a_reader_that_falls_over_would_be_found(connection: Connection, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reading_module, "places_of", lambda *_: {}[0])

    with pytest.raises(KeyError):
        examine(Case("week.csv", SESSIONS.encode()), connection, Figures())


ROWS = [line.split(",") for line in SESSIONS.splitlines()]


def sheet_with(cells: bytes) -> bytes:
    """A workbook with a log, and these rows behind it."""
    return with_part_changed(
        sheet_of(list(ROWS)), SHEET, lambda part: part.replace(b"</sheetData>", cells + b"</sheetData>")
    )


@pytest.mark.parametrize(
    "cells",
    [
        b'<row r="1048576"><c r="A1048576"><v>1</v></c></row>',
        b'<row r="3"><c r="XFD3"><v>1</v></c></row>',
        b'<row r="1048576"><c><v>1</v></c></row>',
        b'<row r="3"><c s="1" r=\'A1048576\'><v>1</v></c></row>',
        b'<x:row xmlns:x="urn:x" r="3"><x:c r="ZZ3"><x:is><x:t>1</x:t></x:is></x:c></x:row>',
        b'<row r="3">' + b"<c><v>1</v></c>" * 201 + b"</row>",
        b'<row r="99999"/><row><c><v>1</v></c></row>',
        b'<row r="3"><c x=" r=" y="1" r="A1048576"><v>1</v></c></row>',
    ],
    ids=[
        "row",
        "column",
        "no address",
        "other quotes",
        "prefix",
        "201 cells",
        "no row number",
        "an address in a value",
    ],
)
def test_a_cell_far_away_is_refused_before_it_becomes_a_rectangle_of_billions(cells: bytes) -> None:
    assert f"below row {MOST_WORKBOOK_ROWS}" in why_unreadable(sheet_with(cells))


@pytest.mark.parametrize(
    "cells",
    [
        b'<row r="1048576" s="1" customFormat="1"><c r="A1048576" s="1"/></row>',
        b'<row r="3"><c r="XFD3" s="1"></c></row>',
        b'<row><c t="inlineStr"><is><t></t></is></c></row>',
    ],
    ids=["far row that is only formatted", "far cell that is only formatted", "near cell without an address"],
)
def test_formats_take_no_room_and_are_no_reason_to_refuse(cells: bytes) -> None:
    assert read_log("week.xlsx", sheet_with(cells)).lines.height == 1


def test_a_long_text_shown_in_very_many_cells_is_refused_before_it_fills_the_memory() -> None:
    """Kept once, a megabyte; shown a thousand times, a gigabyte."""
    swelling = sheet_with(b'<row r="3">' + b'<c r="A3" t="s"><v>0</v></c>' * 1000 + b"</row>")
    swelling = with_part_changed(swelling, TEXTS, lambda part: part.replace(b"session_date", b"x" * 1_000_000, 1))

    assert "very long texts in very many cells" in why_unreadable(swelling)


def test_one_long_text_does_not_count_for_the_cells_that_show_others() -> None:
    texts = b"<sst><si><t>" + b"x" * 1_000_000 + b"</t></si><si><t>P01</t></si></sst>"
    cells = b'<c r="A1" t="s"><v>1</v></c>' * 2000 + b'<c r="A1" t="s"><v>0</v></c>'

    assert shown_bytes([texts, cells], enough=100_000_000) < 2_000_000


UNITS = [b'<c r="A1000000" ', b'r="A1000000" ', b"<c ", b"<row ", b't="s" ', b'<c a="b" ', b"<"]


@pytest.mark.parametrize("unit", UNITS)
def test_a_part_that_never_ends_its_tags_is_told_in_time_proportional_to_its_length(unit: bytes) -> None:
    """Half a million repeats: were every beginning compared with every end, no test run would see the end of it."""
    part = b"<c x='" + unit * 500_000

    with pytest.raises(ExpatError):
        has_far_cell(part)
    assert shown_bytes([part], enough=1) == 0


def test_a_workbook_with_a_document_type_is_refused() -> None:
    """Entities within entities grow a billionfold; ISO/IEC 29500-2 allows no document type in a part of a package."""
    laughs = b'<!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>'
    begin = b"<worksheet"
    laughing = with_part_changed(sheet_of(list(ROWS)), SHEET, lambda part: part.replace(begin, laughs + begin, 1))

    assert "damaged" in why_unreadable(laughing)


def test_a_zip_that_unpacks_to_far_more_than_any_log_is_refused_before_it_is_unpacked() -> None:
    bomb = io.BytesIO(sheet_of(list(ROWS)))
    with zipfile.ZipFile(bomb, "a", zipfile.ZIP_DEFLATED, compresslevel=1) as package:
        package.writestr("xl/x.xml", b" " * 260_000_000)

    assert "unpacks to 260 MB" in why_unreadable(bomb.getvalue())


def test_a_cell_longer_than_the_csv_modules_own_limit_is_told_as_a_long_cell() -> None:
    """131072 characters, by the documentation of csv.field_size_limit."""
    content = SESSIONS.replace("backspin", "x" * 200_000).encode()

    assert "a cell of more than 10000 characters on line 2" in why_unreadable(content)


def test_signs_that_steer_a_terminal_are_not_repeated_in_what_is_told() -> None:
    """ECMA-48 begins its control sequences with ESC, or with U+009B."""
    content = SESSIONS.replace("backspin", "\x1b[31m\x9b").encode()

    (fault,) = [
        fault
        for fault in screen(read_log("a\x1b[2Jb.csv", content), fuzz_checks.KNOWN).refusals
        if fault.column == "spin"
    ]

    assert fault.sentence.isprintable()
    assert "a [2Jb.csv" in fault.sentence


def test_the_fuzzers_files_are_the_same_for_the_same_recipe() -> None:
    assert [case_of(family, bytes(range(256))) for family in CASES] == [
        case_of(family, bytes(range(256))) for family in CASES
    ]


def test_a_locked_workbook_is_told_as_one() -> None:
    """A workbook with a password is an OLE container, not a zip ([MS-OFFCRYPTO])."""
    with pytest.raises(Unreadable, match="locked with a password"):
        read_log("week.xlsx", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 1000)
