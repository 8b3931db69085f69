"""From a sheet's values to a tagged PDF (PDF/UA-1), by the templates in this folder.

Values go in as values: nothing that somebody typed is ever read as a template's markup. Letters are ours, then those
that come with the typesetter; where a name needs more, also those of this machine. What no font has is marked and
named.
"""

import json
import re
import unicodedata
from functools import cache
from pathlib import Path
from typing import Any

import typst

from dashboard.look.stylesheet import ON_PAPER
from dashboard.paper.sheets import Sheet
from ingest.problems import printable

TEMPLATES = Path(__file__).parent
INSTEAD = "\ufffd"
MOST_ROUNDS = 5
MOST_NAMED = 8

# ISO 32000-1, table 321: false is what holds where the key is missing. Poppler up to 22.12 calls the key, where it is
# false, one of the wrong type. Blanks keep every offset of the file.
_NOT_SUSPECT = b"/Suspects false"

# As the typesetter writes a text within its own sentence; signs that cannot be seen as \u{1f600}.
_UNSET = re.compile(r'the text (?:contains the disallowed codepoint )?`"(.+?)"`')
_ESCAPE = re.compile(r"\\u\{([0-9a-f]+)\}")


class NoFontHas(Exception):
    """Signs that no font at hand has; the text names them."""

    def __init__(self, signs: frozenset[str]) -> None:
        super().__init__(_named(signs))
        self.signs = signs


def typeset(sheet: Sheet) -> bytes:
    """The PDF. Whatever stands in the values, there is one: signs without a font are marked, and named at its end."""
    try:
        return _set(sheet, _fonts(of_this_machine=False))
    except NoFontHas:
        missing: frozenset[str] = frozenset()
    for _ in range(MOST_ROUNDS):
        try:
            return _set(sheet, _fonts(of_this_machine=True), missing)
        except NoFontHas as found:
            missing |= found.signs
    return _set(sheet, _fonts(of_this_machine=True), frozenset(_signs(sheet.values)))


def _set(sheet: Sheet, fonts: typst.Fonts, missing: frozenset[str] = frozenset()) -> bytes:
    """Raises NoFontHas."""
    instead = str.maketrans(dict.fromkeys(missing, INSTEAD))
    values = _each_text(sheet.values, instead) | {"without_font": _told(missing) if missing else None}
    try:
        pdf = typst.compile(
            TEMPLATES / sheet.template,
            root=TEMPLATES,
            font_paths=fonts,
            ignore_system_fonts=True,
            sys_inputs={"values": json.dumps(values)},
            pdf_standards=["ua-1"],
            timestamp=sheet.dated,
        )
        return pdf.replace(_NOT_SUSPECT, b" " * len(_NOT_SUSPECT), 1)
    except typst.TypstError as problem:
        signs = _unset(problem.diagnostic) - missing
        if not signs:
            raise
        raise NoFontHas(signs) from problem


@cache
def _fonts(*, of_this_machine: bool) -> typst.Fonts:
    return typst.Fonts(include_system_fonts=of_this_machine, font_paths=[ON_PAPER])


def _each_text(value: Any, instead: dict[int, str]) -> Any:
    """The same values with every text on one line, without signs that steer, and without those that no font has."""
    if isinstance(value, str):
        return printable(value).translate(instead)
    if isinstance(value, dict):
        return {key: _each_text(one, instead) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_each_text(one, instead) for one in value]
    return value


def _unset(diagnostic: str) -> frozenset[str]:
    """The signs at fault. Where marks stand on a letter, it is the marks: the letter may be fine without them."""
    texts = [_ESCAPE.sub(lambda found: chr(int(found[1], 16)), text) for text in _UNSET.findall(diagnostic)]
    marks = [[sign for sign in text if unicodedata.category(sign).startswith("M")] for text in texts]
    found = (sign for text, on_it in zip(texts, marks, strict=True) for sign in on_it or text)
    return frozenset(sign for sign in found if not sign.isascii())


def _signs(value: Any) -> set[str]:
    """Every sign beyond ASCII that stands anywhere in the values."""
    return {sign for sign in json.dumps(value, ensure_ascii=False) if not sign.isascii()}


def _told(missing: frozenset[str]) -> str:
    return (
        f"{INSTEAD} stands for a sign that no font on this machine has: {_named(missing)}. Where a font that has it is "
        "installed on the machine that makes this page, it is printed."
    )


def _named(signs: frozenset[str]) -> str:
    names = [f"U+{ord(sign):04X} {unicodedata.name(sign, '')}".rstrip() for sign in sorted(signs)]
    more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
    return ", ".join(names[:MOST_NAMED]) + more
