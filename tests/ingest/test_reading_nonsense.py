"""Files that are no log: each is refused with a sentence that says what to do, and none ends in a traceback."""

import gzip
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ingest.bounds import LONGEST_CELL, MOST_BYTES, MOST_COLUMNS
from ingest.problems import Unreadable
from ingest.reading import read_log
from tests.ingest.log_files import HEADER, LINE, SESSIONS, sessions, sheet_of, why_unreadable

JSON_LINES = "\n".join(json.dumps(dict(zip(HEADER, LINE, strict=True))) for _ in range(3))
NONSENSE = {
    "nothing at all": (b"", "an empty file"),
    "only a byte order mark": (b"\xef\xbb\xbf", "an empty file"),
    "only blank lines": (b"\r\n \t\r\n\n", "an empty file"),
    "only separators": (b",,,,\n,,,,\n", "no line with the column names of a log"),
    "only a header": (b"session_date,player,setup,spin,length,balls,good\n", "no lines below the header"),
    "a header and empty lines": (b"player;handedness\n;\n;\n", "no lines below the header"),
    "one word": (b"backspin", "no line with the column names of a log"),
    "prose": (b"Dear coach,\nplease find attached the log.\n", "'Dear coach,' at the top"),
    "a listing of a folder": (
        b"total 8\n-rw-r--r-- 1 ada club 57 Mar  2 week12.csv\n",
        "no line with the column names",
    ),
    "lines without a header": (",".join(LINE).encode() + b"\n", "no line with the column names of a log"),
    "columns in other words": (b"Datum;Spieler;Schnitt\n2.3.2026;P01;viel\n", "no line with the column names of a log"),
    "a header too far down": (b"note\n" * 9 + SESSIONS.encode(), "header on line 1"),
    "a picture": (b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR" + bytes(range(256)), "a picture"),
    "a photograph": (b"\xff\xd8\xff\xe0\x00\x10JFIF\x00", "a picture"),
    "a PDF": (b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n1 0 obj", "a PDF document"),
    "a text document": (b"{\\rtf1\\ansi player}", "a text document"),
    "an old or locked workbook": (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(512), "an old .xls workbook"),
    "a packed log": (gzip.compress(SESSIONS.encode()), "a packed file"),
    "a web page": (b"<!DOCTYPE html>\n<html><body><table><tr><td>player</td></tr></table>", "a web page"),
    "a bare table of a web page": (b"  <TABLE border=1><tr><td>player,handedness</td></tr></TABLE>", "a web page"),
    "an XML export": (b'<?xml version="1.0"?>\n<log/>', "a web page (HTML or XML)"),
    "JSON": (json.dumps([dict(zip(HEADER, LINE, strict=True))]).encode(), "JSON"),
    "JSON line by line": (JSON_LINES.encode(), "JSON"),
    "a program": (b"#!/bin/sh\necho player\n", "no line with the column names of a log"),
    "NUL bytes in a cell": (SESSIONS.replace("P01", "P\x0001").encode(), "NUL bytes"),
    "UTF-16 cut within a letter": (SESSIONS.encode("utf-16")[:-1], "no letter in UTF-16"),
    "UTF-32": (SESSIONS.encode("utf-32"), "NUL bytes"),
    "a Cyrillic text in an encoding of its own": (
        "Дата;Игрок\n".encode("cp1251") + b"\x98\x81\n",
        "byte 0x81 on line 2",
    ),
    "a separator that no log has": (SESSIONS.replace(",", "|").encode(), "separated by commas, semicolons or tabs"),
    "an unclosed quote": (SESSIONS.replace("P01", '"P01').encode(), "quotes that do not match, from line 2 on"),
}


@pytest.mark.parametrize(("content", "seen"), NONSENSE.values(), ids=NONSENSE.keys())
def test_nonsense_is_refused_with_what_it_is_and_what_to_do(content, seen):
    assert seen in why_unreadable(content)


def test_a_file_larger_than_any_log_is_refused_unread():
    assert f"expected at most {MOST_BYTES // 1_000_000} MB" in why_unreadable(b"x" * (MOST_BYTES + 1))


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_a_file_with_more_lines_than_any_log_is_to_be_split(form, monkeypatch):
    monkeypatch.setattr("ingest.csv_text.MOST_LINES", 10)
    monkeypatch.setattr("ingest.grid.MOST_LINES", 10)
    rows = [["player", "handedness"], *[["P01", "right"]] * 11]
    content = {"csv": "\n".join(map(",".join, rows)).encode(), "xlsx": sheet_of(rows)}[form]

    assert "more than 10 lines" in why_unreadable(content)


@pytest.mark.parametrize("below_header", [True, False])
def test_a_table_wider_than_any_log_is_refused(below_header):
    wide = ",x" * MOST_COLUMNS + "\n"
    content = SESSIONS.replace("\n", wide, 1) if not below_header else SESSIONS[:-1] + wide

    assert f"expected at most {MOST_COLUMNS} columns" in why_unreadable(content.encode())


def test_empty_cells_to_the_right_do_not_make_a_table_too_wide():
    assert read_log("week12.csv", SESSIONS.replace("\n", "," * 16_000 + "\n").encode()).lines.height == 1


@pytest.mark.parametrize("signs", [LONGEST_CELL + 1, 200_000])
def test_a_cell_longer_than_any_note_is_refused(signs):
    """200,000 signs are more than the reader of the standard library takes in one cell."""
    sentence = why_unreadable(sessions(note=["short", "x" * signs]).encode())

    assert "line 3" in sentence


def test_a_cell_of_the_longest_length_is_read():
    assert read_log("week12.csv", sessions(note=["x" * LONGEST_CELL]).encode()).lines["note"][0] == "x" * LONGEST_CELL


@given(st.binary(max_size=300))
def test_no_bytes_give_a_traceback(content):
    with pytest.raises(Unreadable):
        read_log("week12.csv", content)


@given(
    st.lists(st.sampled_from([*',;\t"\r\n\0 ax1.-/', *HEADER, *LINE]), max_size=60).map("".join),
    st.sampled_from(["utf-8", "utf-16", "cp1252"]),
)
def test_no_tail_of_a_log_gives_a_traceback(tail, codec):
    content = (SESSIONS + tail).encode(codec)

    try:
        reading = read_log("week12.csv", content)
    except Unreadable as refused:
        assert refused.refusal.to_do
    else:
        assert reading.lines.height + len(reading.malformed) == reading.cells.height
