"""From bytes to text: which encoding a text file was written in."""

import codecs
import re

from ingest.problems import Unreadable, unreadable

_MARKS = (
    (codecs.BOM_UTF8, "utf-8", "UTF-8 with BOM"),
    (codecs.BOM_UTF16_LE, "utf-16-le", "UTF-16"),
    (codecs.BOM_UTF16_BE, "utf-16-be", "UTF-16"),
)
_SAMPLE_BYTES = 4096
_TO_DO = "save the file again as CSV in UTF-8"


def decoded(file_name: str, content: bytes) -> tuple[str, str]:
    """The text of a file and the name of its encoding. Raises Unreadable where the bytes are no text."""
    for mark, codec, name in _MARKS:
        if content.startswith(mark):
            return _without_nul(file_name, _strictly(file_name, content[len(mark) :], codec, name)), name
    text, name = _decoded_without_mark(file_name, content)
    return _without_nul(file_name, text), name


def encoded(text: str, name: str | None) -> bytes:
    """The bytes of a text in the encoding of this name; UTF-8 with a mark, which every spreadsheet reads, else."""
    codec = {"Windows-1252": "cp1252", "UTF-16": "utf-16"}.get(name or "", "utf-8-sig")
    try:
        return text.encode(codec)
    except UnicodeEncodeError:
        return text.encode("utf-8-sig")


def _decoded_without_mark(file_name: str, content: bytes) -> tuple[str, str]:
    codec = _utf16_without_mark(content)
    if codec:
        return _strictly(file_name, content, codec, "UTF-16"), "UTF-16"
    try:
        return content.decode("utf-8"), "UTF-8"
    except UnicodeDecodeError as error:
        if _is_mostly_utf8(content):
            raise _bad_byte(file_name, content, error.start, "UTF-8") from error
    return _strictly(file_name, content, "cp1252", "Windows-1252"), "Windows-1252"


def _utf16_without_mark(content: bytes) -> str | None:
    """A log is mostly Latin letters and digits, so that in UTF-16 every other byte is zero."""
    sample = content[:_SAMPLE_BYTES]
    pairs = len(sample) // 2
    low_zeros, high_zeros = sample[0::2].count(0), sample[1::2].count(0)
    if pairs and high_zeros > 0.7 * pairs and low_zeros < 0.1 * pairs:
        return "utf-16-le"
    if pairs and low_zeros > 0.7 * pairs and high_zeros < 0.1 * pairs:
        return "utf-16-be"
    return None


def _is_mostly_utf8(content: bytes) -> bool:
    """A UTF-8 file with a damaged letter: read as Windows-1252, all its other letters would come out wrong."""
    text = content.decode("utf-8", "replace")
    damaged = text.count("\ufffd")
    return len(re.findall(r"[^\x00-\x7f]", text)) - damaged > damaged


def _strictly(file_name: str, content: bytes, codec: str, name: str) -> str:
    try:
        return content.decode(codec)
    except UnicodeDecodeError as error:
        raise _bad_byte(file_name, content, error.start, name) from error


def _bad_byte(file_name: str, content: bytes, place: int, name: str) -> Unreadable:
    before = content[:place]
    line = 1 + before.count(b"\n") + (before.replace(b"\r\n", b"").count(b"\r"))
    return unreadable(
        file_name,
        seen=f"byte 0x{content[place]:02X} on line {line}, which is no letter in {name}",
        expected="text in UTF-8, UTF-16 or Windows-1252",
        to_do=_TO_DO,
    )


def _without_nul(file_name: str, text: str) -> str:
    if "\0" in text:
        raise unreadable(
            file_name,
            seen="NUL bytes, which no text has",
            expected="a log as a CSV file or an .xlsx workbook",
            to_do="export the log again from the program that holds it",
        )
    return text
