"""Makes the letters of screens and paper from the family's own file; needed again only for another version of it.

`uv run --with fontpkg-sofia-sans==4.101 --with fonttools --with brotli python -m dashboard.look.cut_letters`

Sofia Sans (SIL Open Font License 1.1, beside this file): Latin with its extensions, Greek and Cyrillic. For screens
weights 400 to 800 in one file; for paper, whose typesetter reads still and unpacked letters only, 400 and 700. The
family's first forms of Cyrillic are the Bulgarian ones; its own set of alternates holds those that
other languages use, and these take their place.
"""

from importlib.resources import files
from typing import Any

from dashboard.look.stylesheet import LETTERS, ON_PAPER

WEIGHTS_OF_PAPER = {400: "Regular", 700: "Bold"}

FEATURES = ["kern", "mark", "mkmk", "liga", "locl", "calt", "ccmp", "tnum", "pnum", "case", "frac"]


def cut() -> None:
    """Write the files of the letters."""
    from fontTools.varLib import instancer  # noqa: PLC0415 - not among what the product needs

    for_screens = instancer.instantiateVariableFont(_family(), {"wght": (400, 800)})
    for_screens.flavor = "woff2"
    for_screens.save(LETTERS)
    ON_PAPER.mkdir(exist_ok=True)
    for weight, style in WEIGHTS_OF_PAPER.items():
        still = instancer.instantiateVariableFont(_family(is_hinted=False), {"wght": weight})
        _name(still, weight, style)
        still.save(ON_PAPER / f"sofia-sans-{weight}.ttf")


def _family(*, is_hinted: bool = True) -> Any:
    """The letters that are wanted, in every weight."""
    from fontTools.ttLib import TTFont  # noqa: PLC0415

    font = TTFont(str(files("fontpkg_sofia_sans") / "files" / "SofiaSans[wght].ttf"))
    _take_usual_cyrillic(font)
    return _reduced(font, is_hinted=is_hinted)


def _name(font: Any, weight: int, style: str) -> None:
    """One family with two weights, by whose names a typesetter finds them."""
    names = {1: "Sofia Sans", 2: style, 3: f"SofiaSans-{style}", 4: f"Sofia Sans {style}", 6: f"SofiaSans-{style}"}
    font["OS/2"].usWeightClass = weight
    for number in (16, 17, 21, 22, 25):
        font["name"].removeNames(nameID=number)
    for number, words in names.items():
        font["name"].setName(words, number, 3, 1, 0x409)


def _take_usual_cyrillic(font: Any) -> None:
    alternates = _alternates(font["GSUB"].table)
    for table in font["cmap"].tables:
        if table.isUnicode():
            table.cmap.update({point: alternates.get(name, name) for point, name in table.cmap.items()})


def _alternates(substitutions: Any) -> dict[str, str]:
    """Which letter takes whose place in the family's first set of alternates."""
    numbers = [
        number
        for record in substitutions.FeatureList.FeatureRecord
        if record.FeatureTag == "ss01"
        for number in record.Feature.LookupListIndex
    ]
    tables = [table for number in numbers for table in substitutions.LookupList.Lookup[number].SubTable]
    found: dict[str, str] = {}
    for table in tables:
        found |= getattr(getattr(table, "ExtSubTable", table), "mapping", {})
    return found


def _reduced(font: Any, *, is_hinted: bool) -> Any:
    from fontTools import subset  # noqa: PLC0415

    options = subset.Options()
    options.layout_features = FEATURES
    options.hinting = is_hinted
    subsetter = subset.Subsetter(options)
    subsetter.populate(unicodes=list(font.getBestCmap()))
    subsetter.subset(font)
    return font


if __name__ == "__main__":
    cut()
