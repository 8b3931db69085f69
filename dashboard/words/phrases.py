"""The words of the log as a coach says them: labels for tables, phrases for sentences, days."""

import re
from collections.abc import Iterable, Mapping
from datetime import date

from models.words import COVERAGE_DIMENSIONS

DIMENSION_LABELS = {words.name: words.title for words in COVERAGE_DIMENSIONS}

_PHRASES = {
    ("depth", "back"): "from the back",
    ("depth", "middle"): "from the middle",
    ("depth", "near"): "from near the net",
    ("side", "forehand"): "forehand side",
    ("side", "centre"): "centre",
    ("side", "backhand"): "backhand side",
    ("sidespin", "left"): "curving left",
    ("sidespin", "none"): "without sidespin",
    ("sidespin", "right"): "curving right",
    ("placement", "wide_forehand"): "to the wide forehand",
    ("placement", "forehand"): "to the forehand",
    ("placement", "middle"): "to the middle",
    ("placement", "backhand"): "to the backhand",
    ("placement", "wide_backhand"): "to the wide backhand",
    ("height", "low"): "low over the net",
    ("height", "medium"): "at medium height",
    ("height", "high"): "high over the net",
    ("angle_band", "sharp_from_forehand"): "sharply from the forehand",
    ("angle_band", "from_forehand"): "from the forehand",
    ("angle_band", "straight"): "straight",
    ("angle_band", "from_backhand"): "from the backhand",
    ("angle_band", "sharp_from_backhand"): "sharply from the backhand",
    ("tempo_band", "slow"): "slow tempo",
    ("tempo_band", "medium"): "medium tempo",
    ("tempo_band", "fast"): "fast tempo",
}

_BALLS = {
    ("spin_family", "no_spin"): "without spin",
    ("spin", "no_spin"): "without spin",
    ("side", "forehand"): "from your forehand side",
    ("side", "centre"): "from the centre",
    ("side", "backhand"): "from your backhand side",
    ("tempo_band", "slow"): "at a slow tempo",
    ("tempo_band", "medium"): "at a medium tempo",
    ("tempo_band", "fast"): "at a fast tempo",
}

_AFTER_THE_NOUN = ("from ", "to ", "at ", "low ", "high ", "without ", "curving ")


def label(word: str) -> str:
    """A word of the log as a label: `half_long` -> `half-long`, `no_spin` -> `no spin`."""
    return "half-long" if word == "half_long" else word.replace("_", " ")


def phrase(dimension: str, value: str) -> str:
    """A value as it stands in a list of a ball's properties: `from near the net`, `topspin`, `slow tempo`."""
    return _PHRASES.get((dimension, value), label(value))


def balls_so(dimension: str, value: str) -> str:
    """The balls with a value, as told to the player: `balls from near the net`, `topspin balls`."""
    text = _BALLS.get((dimension, value), phrase(dimension, value))
    return f"balls {text}" if text.startswith(_AFTER_THE_NOUN) else f"{text} balls"


def verbatim(text: str) -> str:
    """Text from the log for a Markdown sentence: none of its signs is taken as markup."""
    return re.sub(r"([!-/:-@\[-`{-~])", r"\\\1", text)


def combination(words: Mapping[str, str | None]) -> str:
    """A wanted combination in words: `from the back, forehand side, topspin, slow tempo`."""
    return ", ".join(phrase(dimension, word) for dimension, word in words.items() if word is not None)


def listed(things: Iterable[str]) -> str:
    """Things as one says them: `a, b and c`."""
    *first, last = list(things)
    return f"{', '.join(first)} and {last}" if first else last


def day(on: date, seen_from: date) -> str:
    """A day as one says it, with the year only where it is another one: `12 October`."""
    return f"{on.day} {on:%B}" if on.year == seen_from.year else f"{on.day} {on:%B %Y}"


def short_day(on: date | None, seen_from: date) -> str:
    """A day for a narrow column: `12 Oct`, or `Oct 2025` where the year is another one."""
    if on is None:
        return "never"
    return f"{on.day} {on:%b}" if on.year == seen_from.year else f"{on:%b %Y}"


def balls(count: int) -> str:
    """So many balls: `1 ball`, `1,700 balls`."""
    return f"{count:,} ball{'' if count == 1 else 's'}"


def in_100(rate: float) -> str:
    """A share of 1 as so many in a hundred."""
    return f"{rate:.0%}".removesuffix("%") + " in 100"


def range_in_100(low: float, high: float) -> str:
    """A range of shares of 1, without the hundred: `57 to 67`."""
    return f"{_hundredths(low)} to {_hundredths(high)}"


def change_in_100(change: float) -> str:
    """A change of a share of 1: `33 more in 100`, `4 fewer in 100`."""
    points = _hundredths(change)
    return f"{abs(points)} {'fewer' if points < 0 else 'more'} in 100"


def change_range_in_100(low: float, high: float) -> str:
    """The range of a change: `26 to 39 more in 100`, `10 fewer to 5 more in 100`."""
    least, most = _hundredths(low), _hundredths(high)
    if least >= 0:
        return f"{least} to {most} more in 100"
    if most <= 0:
        return f"{-most} to {-least} fewer in 100"
    return f"{-least} fewer to {most} more in 100"


def _hundredths(share: float) -> int:
    return int(f"{share:.0%}".removesuffix("%"))


def sessions(count: int) -> str:
    """So many sessions: `1 session`, `12 sessions`."""
    return f"{count:,} session{'' if count == 1 else 's'}"
