"""The page's stylesheet: the colours and letters of all screens, signs as masks, then the page's own rules."""

from functools import lru_cache
from pathlib import Path

from dashboard.drawings.icons import icon, mark
from dashboard.look.stylesheet import letters, mask
from dashboard.look.tokens import as_css

RULES = Path(__file__).with_name("look.css")


@lru_cache(maxsize=4)
def sheet(club_colour: str) -> str:
    """The whole sheet for a club of this colour."""
    signs = {"name": mark(), "undo": icon("undo"), "clock": icon("clock")}
    masks = "".join(f"--{name}-sign:{mask(sign)};" for name, sign in signs.items())
    return "\n".join([as_css(club_colour), letters(), f":root{{{masks}}}", RULES.read_text(encoding="utf-8")])
