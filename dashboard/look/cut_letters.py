"""Makes the letters of the screens from the family's own file; needed again only for another version of the family.

`uv run --with fontpkg-sofia-sans==4.101 --with fonttools --with brotli python -m dashboard.look.cut_letters`

Sofia Sans (SIL Open Font License 1.1, beside this file): Latin with its extensions, Greek and Cyrillic, weights 400 to
800 in one file. The family's first forms of Cyrillic are the Bulgarian ones; its own set of alternates holds those that
other languages use, and these take their place.
"""

from importlib.resources import files
from pathlib import Path
from typing import Any

LETTERS = Path(__file__).parent / "sofia-sans.woff2"

FEATURES = ["kern", "mark", "mkmk", "liga", "locl", "calt", "ccmp", "tnum", "pnum", "case", "frac"]


def cut() -> None:
    """Write the file of the letters."""
    from fontTools.ttLib import TTFont  # noqa: PLC0415 - not among what the product needs
    from fontTools.varLib import instancer  # noqa: PLC0415

    font = TTFont(str(files("fontpkg_sofia_sans") / "files" / "SofiaSans[wght].ttf"))
    _take_usual_cyrillic(font)
    cut_font = instancer.instantiateVariableFont(_reduced(font), {"wght": (400, 800)})
    cut_font.flavor = "woff2"
    cut_font.save(LETTERS)


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


def _reduced(font: Any) -> Any:
    from fontTools import subset  # noqa: PLC0415

    options = subset.Options()
    options.layout_features = FEATURES
    subsetter = subset.Subsetter(options)
    subsetter.populate(unicodes=list(font.getBestCmap()))
    subsetter.subset(font)
    return font


if __name__ == "__main__":
    cut()
