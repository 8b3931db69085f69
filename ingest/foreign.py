"""Files that are no log: told by how they begin, never by their name."""

import re
from dataclasses import dataclass

from ingest.problems import unreadable

_EXPECTED = "a log as a CSV file or an .xlsx workbook"
_TYPE_IT = "put the log into a table (`halflong template KIND` writes an empty one) and load that"
_UNPACK = "unpack it and load the files in it one by one"
_SAVE_AS = "open it in a spreadsheet program and save it as .xlsx or CSV"


@dataclass(frozen=True)
class _Foreign:
    begins: bytes
    seen: str
    to_do: str


_BINARY = (
    _Foreign(
        b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1",
        "an old .xls workbook, or a workbook locked with a password",
        "open it in a spreadsheet program, take the password off, and save it as .xlsx or CSV",
    ),
    _Foreign(b"%PDF-", "a PDF document", _TYPE_IT),
    _Foreign(b"\x89PNG", "a picture", _TYPE_IT),
    _Foreign(b"\xff\xd8\xff", "a picture", _TYPE_IT),
    _Foreign(b"GIF8", "a picture", _TYPE_IT),
    _Foreign(b"{\\rtf", "a text document", _TYPE_IT),
    _Foreign(b"\x1f\x8b", "a packed file", _UNPACK),
    _Foreign(b"7z\xbc\xaf", "a packed file", _UNPACK),
    _Foreign(b"Rar!", "a packed file", _UNPACK),
)
_HTML = re.compile(r"\s*<(!doctype|!--|\?xml|(html|head|body|meta|table)\b)", re.IGNORECASE)
_JSON = re.compile(r"\s*(\{\s*[\"}]|\[\s*[\[{\"\]])")


def refuse_foreign_bytes(file_name: str, content: bytes) -> None:
    """Raises Unreadable for a picture, a document, a packed file, or a workbook in an old or locked form."""
    for foreign in _BINARY:
        if content.startswith(foreign.begins):
            raise unreadable(file_name, seen=foreign.seen, expected=_EXPECTED, to_do=foreign.to_do)


def refuse_foreign_text(file_name: str, text: str) -> None:
    """Raises Unreadable for a text that holds nothing, a web page or JSON."""
    if not text.strip():
        raise unreadable(file_name, seen="an empty file", expected=_EXPECTED, to_do="export the log again")
    if _HTML.match(text):
        raise unreadable(file_name, seen="a web page (HTML or XML)", expected=_EXPECTED, to_do=_SAVE_AS)
    if _JSON.match(text):
        raise unreadable(file_name, seen="JSON", expected=_EXPECTED, to_do="export the log as CSV")


def refuse_foreign_package(file_name: str, members: list[str]) -> None:
    """Raises Unreadable for a zip that is no .xlsx workbook, by the names of its members."""
    names = {member.replace("\\", "/").lower() for member in members}
    if "xl/workbook.bin" in names:
        raise unreadable(file_name, seen="a binary .xlsb workbook", expected=_EXPECTED, to_do=_SAVE_AS)
    if "content.xml" in names:
        raise unreadable(file_name, seen="an OpenDocument file", expected=_EXPECTED, to_do=_SAVE_AS)
    if any(name.startswith("word/") for name in names):
        raise unreadable(file_name, seen="a text document", expected=_EXPECTED, to_do=_TYPE_IT)
    if "xl/workbook.xml" not in names:
        raise unreadable(file_name, seen="a packed file (zip)", expected=_EXPECTED, to_do=_UNPACK)
