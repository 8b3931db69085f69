"""Colours by what they mean, in light and in dark. The club's own colour is on the name's mark only.

One hue for what was met (table green), ochre for "not lately", orange for "next" and "needs you" only. Contrast by
WCAG 2.2: text on its ground at least 4.5 to 1, marks at least 3 to 1, in both; tests hold it.
"""

from collections.abc import Mapping

from dashboard.look.club_colour import readable

LIGHT: Mapping[str, str] = {
    "page": "#F3F6F5",
    "card": "#FFFFFF",
    "sunk": "#E8EEEC",
    "ink": "#15222A",
    "soft": "#4C5C65",
    "line": "#D5DDDB",
    "edge": "#74848B",
    "table": "#DDECE8",
    "tableline": "#1C6961",
    "met": "#1C6961",
    "onmet": "#FFFFFF",
    "few": "#CFE5E0",
    "stale": "#855600",
    "stalesoft": "#F8E6B8",
    "next": "#B5400A",
    "nextmark": "#D9570F",
    "nextsoft": "#FCE9DD",
    "onnext": "#FFFFFF",
    "alarm": "#A3262A",
    "alarmsoft": "#FBE6E5",
    "band": "#BFDDD7",
    "focus": "#1B4FD1",
}
DARK: Mapping[str, str] = {
    "page": "#0F1619",
    "card": "#172024",
    "sunk": "#0A1012",
    "ink": "#E9F0EE",
    "soft": "#A7B6B9",
    "line": "#2B383D",
    "edge": "#74858C",
    "table": "#16312E",
    "tableline": "#67BFB2",
    "met": "#5BBBAC",
    "onmet": "#06201C",
    "few": "#1F433D",
    "stale": "#EBC364",
    "stalesoft": "#3D3316",
    "next": "#FF9F68",
    "nextmark": "#FF8A47",
    "nextsoft": "#3A2417",
    "onnext": "#2A1204",
    "alarm": "#FF9790",
    "alarmsoft": "#3B1D1D",
    "band": "#28534C",
    "focus": "#8FB4FF",
}
ON_CLUB = {"light": "#FFFFFF", "dark": "#0B1014"}
"""The mark on the club's colour."""


def as_css(club_colour: str) -> str:
    """The colours as variables, each for light and dark, the club's own made readable."""
    own = {
        "club": (
            readable(club_colour, (LIGHT["card"], LIGHT["page"])),
            readable(club_colour, (DARK["card"], DARK["page"])),
        ),
        "onclub": (ON_CLUB["light"], ON_CLUB["dark"]),
    }
    pairs = {name: (light, DARK[name]) for name, light in LIGHT.items()} | own
    variables = "".join(f"--hl-{name}:light-dark({light},{dark});" for name, (light, dark) in pairs.items())
    return f":root{{color-scheme:light dark;{variables}}}"
