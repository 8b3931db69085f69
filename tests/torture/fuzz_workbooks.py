"""Workbooks written by hand, part by part (ECMA-376), with what a spreadsheet program would never write."""

import io
import struct
import zipfile
from collections.abc import Callable, Sequence
from functools import cache
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape

if TYPE_CHECKING:
    from tests.torture.fuzz_cases import Choices

MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
RELS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE_RELS = "http://schemas.openxmlformats.org/package/2006/relationships"
DECLARED = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>'
LAUGHS = "".join(f'<!ENTITY l{i} "{f"&l{i - 1};" * 10}">' for i in range(1, 10))
BOMB = f'<!DOCTYPE s [<!ENTITY l0 "ha">{LAUGHS}<!ENTITY x SYSTEM "file:///etc/passwd">]>'

DIMENSIONS = ("A1:Z99", "A1:XFD1048576", "A1", "XFD1048576:A1", "A0:A0", "A1:ZZZZZ999999999999", "", "💥")
FAR_CELLS = (
    *('r="A1048576"', 'r="XFD1"', 'r="XFD1048576"', 'r="A0"', 'r="A99999999999"', 'r="ZZZZ1"', 'r="1A"', "", 'r=""'),
    *('r="a5"', 'r="A5" r="A6"', 'r=" A7 "', "r='GR9'", 'r="$A$1"', 'r="A-1"'),
)
SHEET_NAMES = ("Log", "", "=Log", "L" * 300, "&#x1b;[31m", "<b>", "Log")
STATES = ("visible", "hidden", "veryHidden", "sideways", "")


def a_workbook(choices: "Choices", rows: Sequence[Sequence[str]]) -> bytes:
    """The rows as a workbook, and perhaps something wicked with it."""
    wicked = choices.one_of(WICKED) if choices.seldom(3) else None
    texts: list[str] = []
    parts = {
        "[Content_Types].xml": _content_types(),
        "_rels/.rels": _rels([("rId1", "officeDocument", "xl/workbook.xml")]),
        "xl/workbook.xml": _book(choices),
        "xl/_rels/workbook.xml.rels": _rels(
            [("rId1", "worksheet", "worksheets/sheet1.xml"), ("rId2", "sharedStrings", "sharedStrings.xml")]
        ),
        "xl/worksheets/sheet1.xml": _sheet(choices, rows, texts),
        "xl/sharedStrings.xml": _shared(texts),
    }
    package = {name: text.encode("utf-8", "replace") for name, text in parts.items()}
    if wicked:
        wicked(choices, package)
    return LOCKED + package[LOCK] if LOCK in package else _packed(choices, package)


def _content_types() -> str:
    return (
        f'{DECLARED}<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
        '<Default Extension="xml" ContentType="application/xml"/></Types>'
    )


def _rels(targets: Sequence[tuple[str, str, str]]) -> str:
    inside = "".join(f'<Relationship Id="{i}" Type="{RELS}/{kind}" Target="{at}"/>' for i, kind, at in targets)
    return f'{DECLARED}<Relationships xmlns="{PACKAGE_RELS}">{inside}</Relationships>'


def _book(choices: "Choices") -> str:
    name = choices.one_of(SHEET_NAMES) if choices.seldom(4) else "Log"
    state = choices.one_of(STATES) if choices.seldom(4) else "visible"
    since_1904 = '<workbookPr date1904="1"/>' if choices.seldom(8) else ""
    again = '<sheet name="Again" sheetId="2" r:id="rId1"/>' if choices.seldom(8) else ""
    sheet = f'<sheet name="{name.replace("<", "&lt;")}" sheetId="1" state="{state}" r:id="rId1"/>'
    return f'{DECLARED}<workbook {MAIN} xmlns:r="{RELS}">{since_1904}<sheets>{sheet}{again}</sheets></workbook>'


def _sheet(choices: "Choices", rows: Sequence[Sequence[str]], texts: list[str]) -> str:
    dimension = f'<dimension ref="{choices.one_of(DIMENSIONS)}"/>' if choices.seldom(4) else ""
    body = "".join(_row(choices, at, row, texts) for at, row in enumerate(rows, start=1))
    far = f"<row><c {choices.one_of(FAR_CELLS)}><v>7</v></c></row>" if choices.seldom(8) else ""
    merged = '<mergeCells><mergeCell ref="A1:XFD1048576"/></mergeCells>' if choices.seldom() else ""
    return f"{DECLARED}<worksheet {MAIN}>{dimension}<sheetData>{body}{far}</sheetData>{merged}</worksheet>"


def _row(choices: "Choices", number: int, row: Sequence[str], texts: list[str]) -> str:
    is_strange = choices.seldom(8) if number == 1 else True
    cells = (_cell(choices, f"{_letters(at)}{number}", cell, texts, is_strange) for at, cell in enumerate(row))
    return f'<row r="{number}">{"".join(cells)}</row>'


def _letters(place: int) -> str:
    return (_letters(place // 26 - 1) if place >= 26 else "") + chr(65 + place % 26)


def _cell(choices: "Choices", at: str, text: str, texts: list[str], is_strange: bool) -> str:
    """A cell as a shared text, a text of its own, a number, a formula with its last value, an error or nonsense."""
    shown = escape("".join(sign for sign in text if sign >= " " or sign in "\n\t"))
    if text.isdigit() and not choices.seldom():
        return f'<c r="{at}"><v>{text}</v></c>'
    how = choices.below(200) if is_strange else len(FORMS)
    if how >= len(FORMS):
        texts.append(shown)
        index = len(texts) - 1 if not choices.seldom(250) else choices.one_of((-1, 10**9, 2**64, "x", ""))
        return f'<c r="{at}" t="s"><v>{index}</v></c>'
    return FORMS[how].format(at=at, shown=shown)


FORMS = (
    *('<c r="{at}" t="inlineStr"><is><t xml:space="preserve">{shown}</t></is></c>',) * 8,
    *('<c r="{at}" t="str"><f>CONCATENATE("{shown}")</f><v>{shown}</v></c>',) * 4,
    '<c r="{at}"><v>{shown}</v></c>',
    '<c r="{at}" t="e"><v>#DIV/0!</v></c>',
    '<c r="{at}" t="d"><v>2026-03-02T00:00:00Z</v></c>',
    '<c r="{at}" t="b"><v>{shown}</v></c>',
    '<c r="{at}" s="1"><f/><v>46083.5</v></c>',
    '<c r="{at}" t="q"><v>7</v></c>',
    "<c><v>7</v></c>",
)


def _shared(texts: Sequence[str]) -> str:
    items = "".join(f'<si><t xml:space="preserve">{text}</t></si>' for text in texts)
    return f'{DECLARED}<sst {MAIN} count="{len(texts)}" uniqueCount="{len(texts)}">{items}</sst>'


LOCK = "locked with a password"
LOCKED = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
Package = dict[str, bytes]


def _lock(choices: "Choices", package: Package) -> None:
    """A workbook with a password is no zip but an OLE container ([MS-OFFCRYPTO])."""
    package[LOCK] = b"\0" * 504 + "EncryptedPackage".encode("utf-16-le") + choices.rest()


def _add_macros(choices: "Choices", package: Package) -> None:
    package["xl/vbaProject.bin"] = LOCKED + choices.rest()


def _link_outside(choices: "Choices", package: Package) -> None:
    package["xl/externalLinks/externalLink1.xml"] = (
        f'{DECLARED}<externalLink {MAIN}><ddeLink ddeService="cmd" ddeTopic="/C calc"/></externalLink>'.encode()
    )
    target = choices.one_of(("file:///etc/passwd", "http://127.0.0.1:9/x", "../../../../etc/passwd", "workbook.xml"))
    package["xl/_rels/workbook.xml.rels"] = _rels([("rId1", "worksheet", target)]).encode()


def _turn_in_a_circle(choices: "Choices", package: Package) -> None:
    """Parts that are their own parts: the workbook its sheet, the shared texts of the shared texts."""
    targets = ("workbook.xml", "sharedStrings.xml", "_rels/workbook.xml.rels", "worksheets/sheet1.xml", "")
    sheet, shared = choices.one_of(targets), choices.one_of(targets)
    package["xl/_rels/workbook.xml.rels"] = _rels(
        [("rId1", "worksheet", sheet), ("rId2", "sharedStrings", shared)]
    ).encode()
    package["xl/sharedStrings.xml"] = f"{DECLARED}<sst {MAIN}>{'<si>' * 3000}<t>x</t>".encode()


def _laugh(choices: "Choices", package: Package) -> None:
    """Entities within entities, a billion times; and one that names a file of this machine."""
    part = choices.one_of(("xl/worksheets/sheet1.xml", "xl/sharedStrings.xml", "xl/workbook.xml"))
    entity = choices.one_of((b"&l9;", b"&x;", b"&nowhere;"))
    package[part] = (
        package[part].replace(DECLARED.encode(), f"{DECLARED}{BOMB}".encode()).replace(b"</t>", entity + b"</t>")
    )


def _swell(choices: "Choices", package: Package) -> None:
    """A zip bomb: one part that unpacks to far more than any log."""
    part = choices.one_of(("xl/worksheets/sheet1.xml", "xl/sharedStrings.xml", "xl/media/image1.png", "xl/x.xml"))
    package[part] = _swollen(choices.one_of((1, 1, 1, 1, 1, 1, 40, 300)))


@cache
def _swollen(megabytes: int) -> bytes:
    return b" " * megabytes * 1_000_000


def _repeat_a_long_text(choices: "Choices", package: Package) -> None:
    """A long text, kept once and shown in very many cells."""
    cells = '<c t="s"><v>0</v></c>' * choices.one_of((10, 1000, 100_000))
    package["xl/sharedStrings.xml"] = _shared(["x" * choices.one_of((100, 32_767, 1_000_000))]).encode()
    package["xl/worksheets/sheet1.xml"] = (
        f"{DECLARED}<worksheet {MAIN}><sheetData><row>{cells}</row></sheetData></worksheet>".encode()
    )


def _lose_a_part(choices: "Choices", package: Package) -> None:
    del package[choices.one_of(sorted(package))]


def _name_parts_wickedly(choices: "Choices", package: Package) -> None:
    for name in (
        "../../up.xml",
        "/etc/passwd.xml",
        "xl\\workbook.xml",
        "XL/WORKBOOK.XML",
        "xl/\x00.xml",
        "content.xml",
    ):
        if choices.below(2):
            package[name] = b"<x/>"


def _nest(choices: "Choices", package: Package) -> None:
    depth = choices.one_of((100, 10_000, 60_000))
    part = choices.one_of(("xl/worksheets/sheet1.xml", "xl/sharedStrings.xml", "xl/workbook.xml"))
    package[part] = f"{DECLARED}<worksheet {MAIN}>{'<a>' * depth}".encode()


WICKED: tuple[Callable[["Choices", Package], None], ...] = (
    *(_lock, _add_macros, _link_outside, _turn_in_a_circle, _laugh, _swell, _repeat_a_long_text),
    *(_lose_a_part, _name_parts_wickedly, _nest),
)


def _packed(choices: "Choices", package: Package) -> bytes:
    written = io.BytesIO()
    deflate_bombs = zipfile.ZIP_DEFLATED
    with zipfile.ZipFile(written, "w", deflate_bombs, compresslevel=1) as archive:
        for name, part in package.items():
            archive.writestr(zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0)), part, deflate_bombs)
    content = written.getvalue()
    return _lie(choices, content) if choices.seldom(8) else content


def _lie(choices: "Choices", content: bytes) -> bytes:
    """The directory of the zip says something else than what is there: sizes, method, a password, many entries."""
    at = content.rfind(b"PK\x01\x02")
    offset, form, value = choices.one_of(
        (
            (24, "<I", 1),
            (24, "<I", 0xFFFFFFFF),
            (20, "<I", 0xFFFFFFF0),
            (10, "<H", 99),
            (8, "<H", 1),
            (42, "<I", 0xFFFFFF00),
            (28, "<H", 0xFFFF),
        )
    )
    lying = bytearray(content)
    struct.pack_into(form, lying, at + offset, value)
    return bytes(lying)
