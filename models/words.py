"""The words of the trade that a log may use, each with its meaning: their one home.

Templates, screening, forms, the format documentation and the warehouse's words table are derived from here.
"""

from dataclasses import dataclass
from functools import cached_property


@dataclass(frozen=True)
class Word:
    """One word: as it stands in a log, what it means, and the family it belongs to (if any)."""

    name: str
    meaning: str
    family: str | None = None


@dataclass(frozen=True)
class WordList:
    """The words one column may hold. `is_ordered`: neighbours in the list are the most alike.

    A coverage dimension has a `title` for the heads of tables, and says what it is `about`.
    """

    name: str
    words: tuple[Word, ...]
    is_ordered: bool = False
    title: str = ""
    about: str = ""

    @cached_property
    def names(self) -> tuple[str, ...]:
        """The words as they stand in a log, in their order."""
        return tuple(word.name for word in self.words)


def tidy_word(text: str) -> str:
    """A word as people type it, made the way it stands in the list: `Heavy Backspin` -> `heavy_backspin`."""
    return text.lower().replace(" ", "_").replace("-", "_")


def _words(name: str, *pairs: tuple[str, str], is_ordered: bool = False, title: str = "", about: str = "") -> WordList:
    return WordList(name, tuple(Word(word, meaning) for word, meaning in pairs), is_ordered, title, about)


SPIN = WordList(
    "spin",
    (
        Word("heavy_backspin", "as much backspin as the feeder gives", "backspin"),
        Word("backspin", "clear backspin", "backspin"),
        Word("light_backspin", "a little backspin", "backspin"),
        Word("no_spin", "a dead ball", "no_spin"),
        Word("light_topspin", "a little topspin", "topspin"),
        Word("topspin", "clear topspin", "topspin"),
        Word("heavy_topspin", "as much topspin as the feeder gives", "topspin"),
    ),
    is_ordered=True,
    title="Spin, finely",
    about="the spin of the fed ball",
)
SPIN_FAMILY = _words(
    "spin_family",
    ("backspin", "any backspin"),
    ("no_spin", "a dead ball"),
    ("topspin", "any topspin"),
    is_ordered=True,
    title="Spin",
    about="which way the fed ball spins",
)
SIDESPIN = _words(
    "sidespin",
    ("left", "the ball curves to the player's left"),
    ("none", "no sidespin"),
    ("right", "the ball curves to the player's right"),
    is_ordered=True,
    title="Sidespin",
    about="the way the ball curves for the player",
)
LENGTH = _words(
    "length",
    ("short", "the second bounce would fall on the table"),
    ("half_long", "the second bounce would fall about on the end line"),
    ("long", "the second bounce would fall beyond the end line"),
    is_ordered=True,
    title="Length",
    about="how far the fed ball carries",
)
PLACEMENT = _words(
    "placement",
    ("wide_forehand", "beyond the player's forehand corner"),
    ("forehand", "the player's forehand half"),
    ("middle", "the middle, at the player's body"),
    ("backhand", "the player's backhand half"),
    ("wide_backhand", "beyond the player's backhand corner"),
    is_ordered=True,
    title="Placement",
    about="where the ball comes, as the player sees it",
)
HEIGHT = _words(
    "height",
    ("low", "close over the net"),
    ("medium", "an ordinary arc"),
    ("high", "well above the net"),
    is_ordered=True,
    title="Height",
    about="how high it crosses the net",
)
STROKE = _words(
    "stroke",
    ("push", "backspin answered with backspin"),
    ("drop_shot", "a short ball laid short again"),
    ("flick", "a short ball attacked over the table"),
    ("drive", "a flat topspin stroke"),
    ("block", "a short stroke that returns the other's pace"),
    ("loop", "a stroke with heavy topspin"),
    ("smash", "a hard flat hit of a high ball"),
    ("chop", "a backspin defence from away from the table"),
    ("lob", "a high topspin defence from far away"),
    ("other", "any other stroke"),
)
TEMPO_BAND = _words(
    "tempo_band",
    ("slow", "fewer balls a minute than the club's lower limit (a setting)"),
    ("medium", "between the club's two limits (settings)"),
    ("fast", "at least the club's upper limit (a setting)"),
    is_ordered=True,
    title="Tempo",
    about="how fast the balls follow each other, by the limits in the settings",
)
DEPTH = _words(
    "depth",
    ("back", "the feeder stands at or behind its end line"),
    ("middle", "the feeder stands in the middle of its half"),
    ("near", "the feeder stands near the net"),
    is_ordered=True,
    title="Depth",
    about="where the feeder stands",
)
SIDE = _words(
    "side",
    ("forehand", "the feeder stands on the player's forehand side"),
    ("centre", "the feeder stands about on the centre line"),
    ("backhand", "the feeder stands on the player's backhand side"),
    is_ordered=True,
    title="Side",
    about="on which side of the player it stands",
)
ORDER = _words(
    "order",
    ("blocked", "the same ball many times, then the next"),
    ("serial", "a fixed sequence of balls, repeated"),
    ("random", "the player cannot know which ball comes next"),
)
OUTCOME = _words(
    "outcome",
    ("good", "landed where the drill asked"),
    ("net", "into the net"),
    ("long", "beyond the end line"),
    ("wide", "beyond a side line"),
    ("missed", "not touched, or touched only by the edge"),
)
ANGLE_BAND = _words(
    "angle_band",
    ("sharp_from_forehand", "comes across sharply from the forehand side, from the club's limit on (a setting)"),
    ("from_forehand", "comes across from the forehand side"),
    ("straight", "comes about parallel to the centre line, within the club's limit (a setting)"),
    ("from_backhand", "comes across from the backhand side"),
    ("sharp_from_backhand", "comes across sharply from the backhand side, from the club's limit on (a setting)"),
    is_ordered=True,
)
TIME_BAND = _words(
    "time_band",
    ("hurried", "less time from release to contact than the feet need to react (a setting)"),
    ("ordinary", "between the club's two limits (settings)"),
    ("unhurried", "at least the club's upper limit (a setting)"),
    is_ordered=True,
)
HANDEDNESS = _words("handedness", ("right", "plays with the right hand"), ("left", "plays with the left hand"))
FEEDING = _words(
    "feeding",
    ("robot", "a machine feeds the balls"),
    ("multiball", "a person feeds many balls by hand"),
    ("partner", "another player plays the balls"),
)

COVERAGE_DIMENSIONS: tuple[WordList, ...] = (
    DEPTH,
    SIDE,
    SPIN_FAMILY,
    SPIN,
    SIDESPIN,
    LENGTH,
    PLACEMENT,
    HEIGHT,
    TEMPO_BAND,
)
"""The dimensions a target may name, in the order of report.coverage."""

DIMENSION = WordList(
    "dimension", tuple(Word(words.name, "one of the ways in which balls differ") for words in COVERAGE_DIMENSIONS)
)

DIMENSION_VALUE = WordList("value", tuple(word for words in COVERAGE_DIMENSIONS for word in words.words))

ALL_WORD_LISTS: tuple[WordList, ...] = (
    *COVERAGE_DIMENSIONS,
    STROKE,
    ORDER,
    OUTCOME,
    HANDEDNESS,
    FEEDING,
    ANGLE_BAND,
    TIME_BAND,
    DIMENSION,
)
