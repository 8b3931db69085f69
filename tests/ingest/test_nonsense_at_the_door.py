"""Fifty kinds of nonsense through the command line: never a traceback, always what to do, nothing left behind."""

import io
import json
import shutil
import zipfile
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest
import xlsxwriter
from typer.testing import CliRunner

from dashboard.command_line import app
from sql.folder import DataFolder
from sql.warehouse import ask

HEAD = "session_date,player,setup,spin,length,block,balls,good\n"
GOOD = "2026-05-04,P1,BC,backspin,short,1,40,30\n"


def line(**cells: str) -> str:
    """A good line of the session log with some cells replaced."""
    names = HEAD.strip().split(",")
    values = dict(zip(names, GOOD.strip().split(","), strict=True)) | cells
    return ",".join(values[name] for name in names) + "\n"


def workbook(rows: list[list[object]]) -> bytes:
    stream = io.BytesIO()
    with xlsxwriter.Workbook(stream, {"in_memory": True}) as book:
        sheet = book.add_worksheet()
        for number, row in enumerate(rows):
            sheet.write_row(number, 0, row)
    return stream.getvalue()


def workbook_that_claims_a_billion_rows() -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(workbook([HEAD.strip().split(",")]))) as old, zipfile.ZipFile(stream, "w") as new:
        for name in old.namelist():
            content = old.read(name)
            if name.endswith("sheet1.xml"):
                content = content.replace(b'<dimension ref="A1:H1"/>', b'<dimension ref="A1:XFD999999999"/>')
            new.writestr(name, content)
    return stream.getvalue()


@cache
def bomb() -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as package:
        package.writestr("[Content_Types].xml", "<Types/>")
        package.writestr("xl/worksheets/sheet1.xml", b"0" * 300_000_000)
    return stream.getvalue()


WHOLE_FILES: dict[str, bytes | Callable[[], bytes]] = {
    "empty": b"",
    "only blanks": b" \r\n\t\r\n  \n",
    "only a byte order mark": b"\xef\xbb\xbf",
    "header only": HEAD.encode(),
    "header and empty lines": (HEAD + ",,,,,,,\n,,,,,,,\n").encode(),
    "no known column": b"a,b,c\n1,2,3\n",
    "prose": b"Dear coach, the log of this week will follow.\nBest wishes\n",
    "a required column is missing": HEAD.replace(",balls", ",bals").encode() + GOOD.encode(),
    "the same column twice": HEAD.replace("block", "balls").encode() + GOOD.encode(),
    "two kinds at once": HEAD.replace("good", "good,ball,outcome").encode() + GOOD.strip().encode() + b",1,good\n",
    "HTML saved as CSV": b"<!doctype html><html><body><table><tr><td>1</td></tr></table></body></html>",
    "JSON": json.dumps([{"player": "P1"}]).encode(),
    "XML": b"<?xml version='1.0'?><log/>",
    "PNG": b"\x89PNG\r\n\x1a\n" + bytes(range(256)),
    "JPEG": b"\xff\xd8\xff\xe0" + bytes(range(256)),
    "PDF": b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n1 0 obj\n<<>>\nendobj\n",
    "random bytes": bytes((i * 73 + 41) % 256 for i in range(2000)),
    "NUL bytes": (HEAD + GOOD).encode().replace(b"BC", b"B\x00C"),
    "a zip that is no workbook": b"PK\x05\x06" + b"\x00" * 18,
    "a truncated workbook": workbook([HEAD.strip().split(","), GOOD.strip().split(",")])[:1500],
    "an old or locked workbook": b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\x00" * 2000,
    "an empty workbook": workbook([]),
    "a workbook with a header only": workbook([HEAD.strip().split(",")]),
    "a sheet that claims a billion rows": workbook_that_claims_a_billion_rows(),
    "a zip bomb": bomb,
    "undefined bytes of Windows-1252": HEAD.encode() + GOOD.encode().replace(b"BC", b"\x81\x8d"),
    "ambiguous dates": (HEAD + line(session_date="03/04/2026") + line(session_date="05/06/2026", block="2")).encode(),
    "contradicting dates": (
        HEAD + line(session_date="13/04/2026") + line(session_date="04/13/2026", block="2")
    ).encode(),
    "too wide": (",".join(f"c{i}" for i in range(500)) + "\n" + ",".join("1" * 500) + "\n").encode(),
}


def content_of(kind: str) -> bytes:
    """What is large is made when it is asked for."""
    content = WHOLE_FILES[kind]
    return content() if callable(content) else content


LINES: dict[str, str] = {
    "unknown player": line(player="P77"),
    "unknown setup": line(setup="QQ"),
    "balls 0": line(balls="0"),
    "balls below 0": line(balls="-5"),
    "good above balls": line(good="41"),
    "a future date": line(session_date="2062-05-04"),
    "31 February": line(session_date="2026-02-31"),
    "a month 13": line(session_date="2026-13-01"),
    "a date before the setup stood there": line(setup="MR", session_date="2026-01-01"),
    "a date of another age": line(session_date="0001-01-01"),
    "words for numbers": line(balls="forty"),
    "a thousands separator": line(balls="1 000"),
    "half a ball": line(balls="39.5"),
    "endless number": line(balls="9" * 400),
    "not a number": line(balls="nan"),
    "infinity": line(good="inf"),
    "a misspelt spin": line(spin="bakspin"),
    "an empty spin": line(spin=""),
    "an error value of a spreadsheet": line(balls="#DIV/0!"),
    "a formula": line(balls="=SUM(A1:A9)"),
    "a control character": line(player="P\x071"),
    "a code that is too long": line(player="P" * 41),
    "a cell too many": GOOD.strip() + ",surplus\n",
    "an enormous cell": line(player="P" * 9_000),
    "SQL in a cell": line(player="'; drop table log.players; --"),
    "the same line twice": GOOD + GOOD,
    "lines that contradict each other": GOOD + line(good="31"),
}


@pytest.fixture(scope="module")
def club(folder_with_basics: DataFolder, tmp_path_factory: pytest.TempPathFactory) -> DataFolder:
    """One club for all the nonsense: none of it may leave anything behind."""
    path = tmp_path_factory.mktemp("nonsense") / "club"
    shutil.copytree(folder_with_basics.path, path)
    return DataFolder(path)


def told(club: DataFolder, tmp_path: Path, name: str, content: bytes) -> str:
    """What `halflong check` says of the file."""
    (tmp_path / name).write_bytes(content)
    result = CliRunner().invoke(app, ["check", str(tmp_path / name), "--data", str(club.path)])
    assert isinstance(result.exception, SystemExit), result.exception
    assert result.exit_code == 1
    assert "Traceback" not in result.output
    return result.output


def test_there_are_fifty_kinds_of_nonsense() -> None:
    assert len(WHOLE_FILES) + len(LINES) >= 50


@pytest.mark.parametrize("kind", list(WHOLE_FILES))
def test_a_file_of_nonsense_is_refused_whole_and_says_what_to_do(club: DataFolder, tmp_path: Path, kind: str) -> None:
    name = "week.xlsx" if "workbook" in kind or "sheet" in kind or "zip" in kind else "week.csv"
    output = told(club, tmp_path, name, content_of(kind))

    assert f"{name}: refused as a whole; nothing was stored." in output
    assert ", expected " in output
    assert ", do: " in output


@pytest.mark.parametrize("kind", list(LINES))
def test_a_line_of_nonsense_is_refused_beside_its_line_and_says_what_to_do(
    club: DataFolder, tmp_path: Path, kind: str
) -> None:
    second = line(block="9")
    output = told(club, tmp_path, "week.csv", (HEAD + LINES[kind] + second).encode())

    assert "week.csv, line " in output
    assert ", do: " in output
    read, accepted = 1 + LINES[kind].count("\n"), 2 if kind == "the same line twice" else 1
    assert f"{read} lines read, {accepted} accepted" in output


def test_nonsense_that_is_loaded_leaves_the_log_as_it_was(club: DataFolder, tmp_path: Path) -> None:
    before = ask(club, "select * from core.batches").write_json()
    paths = []
    for number, content in enumerate(map(content_of, WHOLE_FILES)):
        (tmp_path / f"{number}.csv").write_bytes(content)
        paths.append(str(tmp_path / f"{number}.csv"))

    result = CliRunner().invoke(app, ["load", *paths, "--data", str(club.path)])

    assert result.exit_code == 1
    assert ask(club, "select * from core.batches").write_json() == before
