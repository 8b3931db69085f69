"""The one stylesheet: colours, letters, the signs of places and filters, then the rules of `RULES`."""

from base64 import b64encode
from functools import lru_cache
from hashlib import sha256
from pathlib import Path

from dashboard.drawings.icons import REASONS, icon, reason
from dashboard.drawings.markup import Markup
from dashboard.drawings.signs import shown
from dashboard.look.tokens import as_css

FOLDER = Path(__file__).parent
LETTERS = FOLDER / "sofia-sans.woff2"
ON_PAPER = FOLDER / "letters_of_paper"
"""The same letters as the typesetter reads them: unpacked, one file for each weight."""

SCRIPT = FOLDER / "look.js"
RULES = ("look.css", "tables.css", "pages.css", "week.css", "correcting.css")

BELOW = "/look/"
"""The address of the look; open to everybody, for the sign-in has it too."""

VIEW_ICONS = {
    "needs": "needs",
    "board": "board",
    "one_player": "players",
    "compare": "compare",
    "next_session": "plan",
    "hall": "hall",
    "setups": "setups",
    "who_plays": "players",
    "first_steps": "next",
    "places": "setups",
    "wanted": "board",
    "write_block": "write",
    "type_sheet": "write",
    "club_week": "week",
    "bring_in": "bring",
    "batches": "batches",
    "own_logs": "accept",
    "my_training": "balls",
    "people": "people",
    "club_settings": "plan",
    "audit_trail": "audit_trail",
    "privacy": "stored",
    "clubs": "board",
    "more": "more",
}
"""Which sign a page has in the navigation."""


@lru_cache(maxsize=8)
def stylesheet(club_colour: str) -> str:
    """The whole sheet for a club of this colour."""
    rules = [(FOLDER / name).read_text(encoding="utf-8") for name in RULES]
    places = (_sign_of(f"hl-i-{view}", icon(word)) for view, word in VIEW_ICONS.items())
    reasons = (_sign_of(f"hl-filter-{word}", reason(word)) for word in REASONS)
    return "\n".join([as_css(club_colour), letters(), *places, *reasons, *rules])


@lru_cache(maxsize=8)
def address_of_sheet(club_colour: str) -> str:
    """Its address, which changes with what is in it, so that a browser may keep it for good."""
    return f"{BELOW}style.css?v={_mark(stylesheet(club_colour).encode())}"


@lru_cache(maxsize=4)
def address_of(file: Path) -> str:
    """The address of a file of the look, in the same way."""
    return f"{BELOW}{file.name}?v={_mark(file.read_bytes())}"


def _mark(content: bytes) -> str:
    return sha256(content).hexdigest()[:12]


def letters() -> str:
    """The rule that brings our letters."""
    return (
        f'@font-face{{font-family:"Sofia Sans";src:url("{address_of(LETTERS)}") format("woff2");'
        "font-weight:400 800;font-style:normal;font-display:swap}"
    )


def _sign_of(key: str, sign: Markup) -> str:
    return f"html [class*=st-key-{key}]{{--hl-mask:{mask(sign)}}}"


def mask(sign: Markup) -> str:
    """A sign as a mask of a rule: so it takes the colour of the words beside it."""
    drawn = shown(sign).replace("currentColor", "#000")
    return f"url(data:image/svg+xml;base64,{b64encode(drawn.encode()).decode()})"
