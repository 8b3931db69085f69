"""The look: colours that can be read in both themes, the club's own too; one stylesheet; the letters; the head."""

import itertools
import math
import re
from collections.abc import Iterator

import numpy as np
import pytest

from dashboard.drawings.skins import SCREEN
from dashboard.look import dressing, stylesheet
from dashboard.look.club_colour import readable
from dashboard.look.tokens import DARK, LIGHT, ON_CLUB, as_css
from dashboard.serving import CONFIG
from tests.dashboard.contrast import contrast

THEMES = {"light": LIGHT, "dark": DARK}

TEXTS = [
    *itertools.product(("ink", "soft"), ("page", "card", "sunk")),
    *itertools.product(("met", "next", "stale", "alarm", "tableline", "focus"), ("card", "page")),
    *[("onmet", "met"), ("ink", "few"), ("ink", "stalesoft"), ("stale", "stalesoft"), ("next", "nextsoft")],
    *[("onnext", "next"), ("alarm", "alarmsoft"), ("ink", "alarmsoft"), ("ink", "table"), ("ink", "band")],
]
MARKS = [
    ("edge", "card"),
    ("edge", "page"),
    ("nextmark", "card"),
    ("met", "few"),
    ("stale", "stalesoft"),
    ("met", "table"),
]

# How red, green or blue cones that are missing change what is seen, on linear light, severity 1: Machado, Oliveira and
# Fernandes (2009), A physiologically-based model for simulation of color vision deficiency, IEEE TVCG 15(6), table 1.
SEEN_BY = {
    "all": np.eye(3),
    "protanopes": [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
    "deuteranopes": [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]],
    "tritanopes": [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]],
}


@pytest.mark.parametrize("theme", THEMES)
def test_every_text_and_every_mark_can_be_read_on_its_ground(theme: str):
    """WCAG 2.2, 1.4.3 and 1.4.11."""
    colours = THEMES[theme]

    assert {pair: ratio for pair in TEXTS if (ratio := contrast(colours[pair[0]], colours[pair[1]])) < 4.5} == {}
    assert {pair: ratio for pair in MARKS if (ratio := contrast(colours[pair[0]], colours[pair[1]])) < 3} == {}


def test_both_themes_name_the_same_colours_and_the_drawings_use_no_other():
    assert LIGHT.keys() == DARK.keys()
    asked = {re.sub(r"var\(--hl-(\w+)\)", r"\1", value) for value in vars(SCREEN).values() if value}

    assert asked <= LIGHT.keys()
    named = set(re.findall(r"var\(--hl-(\w+)\)", stylesheet.stylesheet("#2E4A8C")))
    assert named <= LIGHT.keys() | {"club", "onclub", "mask"}


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("eyes", SEEN_BY)
def test_the_four_states_differ_for_every_kind_of_eye(theme: str, eyes: str):
    """Their fills are apart by more than twice what is just seen (about 0.02 in OKLab); their shapes differ besides."""
    colours = THEMES[theme]
    fills = [colours[name] for name in ("card", "few", "met", "stalesoft")]
    seen = [lab(np.clip(np.asarray(SEEN_BY[eyes]) @ linear(fill), 0, 1)) for fill in fills]

    assert min(math.dist(one, other) for one, other in itertools.combinations(seen, 2)) > 0.04


def linear(colour: str) -> np.ndarray:
    channels = np.array([int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)])
    return np.where(channels <= 0.04045, channels / 12.92, ((channels + 0.055) / 1.055) ** 2.4)


def lab(light: np.ndarray) -> np.ndarray:
    """OKLab of linear light (Ottosson 2020)."""
    cones = np.cbrt(
        np.array(
            [
                [0.4122214708, 0.5363325363, 0.0514459929],
                [0.2119034982, 0.6806995451, 0.1073969566],
                [0.0883024619, 0.2817188376, 0.6299787005],
            ]
        )
        @ light
    )
    return (
        np.array(
            [
                [0.2104542553, 0.7936177850, -0.0040720468],
                [1.9779984951, -2.4285922050, 0.4505937099],
                [0.0259040371, 0.7827717662, -0.8086757660],
            ]
        )
        @ cones
    )


def all_colours() -> Iterator[str]:
    for red, green, blue in itertools.product(range(0, 256, 51), repeat=3):
        yield f"#{red:02X}{green:02X}{blue:02X}"


def test_every_colour_of_a_club_becomes_one_that_can_be_read():
    for colour in all_colours():
        for theme, colours in THEMES.items():
            own = readable(colour, (colours["card"], colours["page"]))
            assert min(contrast(own, colours["card"]), contrast(own, colours["page"])) >= 4.5
            assert contrast(ON_CLUB[theme], own) >= 4.5


def test_a_colour_that_can_be_read_stays_and_one_that_cannot_keeps_its_hue():
    assert readable("#2E4A8C", (LIGHT["card"], LIGHT["page"])) == "#2E4A8C"
    pale = readable("#FFD000", (LIGHT["card"], LIGHT["page"]))
    hues = [math.atan2(lab(linear(colour))[2], lab(linear(colour))[1]) for colour in ("#FFD000", pale)]
    assert hues[0] == pytest.approx(hues[1], abs=0.03)


@pytest.mark.parametrize("theme", THEMES)
def test_what_is_selected_can_be_read(theme: str):
    """Streamlit 1.67 writes it in the primary colour on a tenth of it, as seen in a browser."""
    primary, page = CONFIG[f"theme.{theme}.primaryColor"], CONFIG[f"theme.{theme}.backgroundColor"]

    assert contrast(primary, mixed(primary, page, 0.1)) >= 4.5


def mixed(colour: str, page: str, share: float) -> str:
    """A colour laid over the page, so much of it opaque."""
    parts = [(int(colour[i : i + 2], 16), int(page[i : i + 2], 16)) for i in (1, 3, 5)]
    return "#" + "".join(f"{round(share * over + (1 - share) * under):02X}" for over, under in parts)


COMMA = re.compile(r",(?![^(]*\))")
"""Between selectors, not between those of one `:is(…)`."""


def test_the_one_stylesheet_weighs_more_than_streamlits_and_holds_on_to_what_stays():
    """Rules begin with html; keys of ours and test ids only, for Streamlit's class names change with every version."""
    rules = "".join((stylesheet.FOLDER / name).read_text("utf-8") for name in stylesheet.RULES)
    without_comments = re.sub(r"/\*.*?\*/", "", rules, flags=re.DOTALL)
    selectors = [one.strip() for part in re.findall(r"([^{}]+)\{", without_comments) for one in COMMA.split(part)]

    assert [one for one in selectors if not one.startswith(("html", "@media"))] == []
    assert not re.search(r"\.(st-emotion|css-|e[0-9a-z]{6,}\d)", rules)


def test_a_page_brings_no_style_of_its_own():
    """Style that comes with a page's content comes late, and what stands there already jumps."""
    views = [*(stylesheet.FOLDER.parent / "views").rglob("*.py"), *(stylesheet.FOLDER.parent / "tables").rglob("*.py")]

    assert len(views) > 20
    assert [view.name for view in views if "<style" in view.read_text(encoding="utf-8")] == []


def test_the_sheet_has_another_address_as_soon_as_it_is_another():
    assert stylesheet.address_of_sheet("#2E4A8C") != stylesheet.address_of_sheet("#8C2E4A")
    assert stylesheet.address_of_sheet("#2E4A8C") == stylesheet.address_of_sheet("#2E4A8C")
    assert "light-dark(#8C2E4A," in as_css("#8C2E4A")


def test_streamlits_page_is_dressed_before_its_first_byte():
    page = '<html><head><link rel="preload" href="./other.woff2" as="font"><title>Streamlit</title></head><body></body>'
    found = dressing.dressed(page, "#2E4A8C")

    assert "other.woff2" not in found
    assert found.index(stylesheet.address_of_sheet("#2E4A8C")) < found.index("</head>")
    assert "<title>Halflong</title>" in found
    assert found.count("<script") == 1


def test_the_letters_ship_with_their_licence():
    assert stylesheet.LETTERS.read_bytes()[:4] == b"wOF2"
    assert stylesheet.LETTERS.stat().st_size < 80_000
    licence = (stylesheet.FOLDER / "sofia-sans-OFL.txt").read_text("utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence
