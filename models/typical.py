"""What the words of a log line mean in numbers, where nothing was measured: a typical feed, and whether it can be.

The numbers are settings: typical spins are from memory (feeders give 0 to 60 turns a second, players push and chop at
20 to 60), heights and places are common practice without a source. They say what a ball is like, not what it was.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from models.aiming import CLEARANCE, LENGTH, LINE, Stage, adjust, without_air
from models.coefficients import ALL_SETS, SET_A, Coefficients
from models.feeds import Batch, Feeds, WantedFeeds
from models.flight import PLAYER_PLANE_CM, follow
from models.incoming import HALF_LONG_TOLERANCE_CM, Length, Verdict, compare_length, length_of
from models.stance import DEEP_CENTRE, Handedness, forehand_cm
from models.table import HALF_WIDTH_CM, LINE_WIDTH_CM, TABLE_LENGTH_CM, FloatArray, IntArray

TOPSPIN_RPS = {
    "heavy_backspin": -45.0,
    "backspin": -30.0,
    "light_backspin": -15.0,
    "no_spin": 0.0,
    "light_topspin": 10.0,
    "topspin": 25.0,
    "heavy_topspin": 45.0,
}
SIDESPIN_RPS = {"left": -15.0, "none": 0.0, "right": 15.0}
NET_CLEARANCE_CM = {"low": 6.0, "medium": 15.0, "high": 35.0}
FOREHAND_CM = {"wide_forehand": 66.0, "forehand": 40.0, "middle": 0.0, "backhand": -40.0, "wide_backhand": -66.0}
SECOND_BOUNCE_X_CM: dict[Length, float] = {"short": 250.0, "half_long": TABLE_LENGTH_CM, "long": PLAYER_PLANE_CM + 6}
"""A long ball reaches the player's plane, under every set of coefficients, though it is sought roughly."""
PLACED_X_CM: dict[Length, float] = {"short": 250.0, "half_long": TABLE_LENGTH_CM, "long": DEEP_CENTRE.x_cm}
"""Where a ball is as far to the side as its placement says: a short or half-long one at its second bounce."""
RELEASE_HEIGHT_CM = 25.0

FIRST_TRY_CM: dict[Length, float] = {"short": 172.0, "half_long": 185.0, "long": DEEP_CENTRE.x_cm}
LEAST_DEPTH_CM: dict[Length, float] = {"short": 157.0, "half_long": 157.0, "long": DEEP_CENTRE.x_cm}
MOST_DEPTH_CM = 269.0
"""Between 20 cm behind the net and 5 cm inside the end line; a long ball lands deep in any case."""

_FURTHER_PER_DEPTH = 2.3
"""By about so many cm the second bounce moves for each cm of the first; the search mends what it is wrong by."""
_LONGEST_MOVE_CM = 25.0
_CLOSE_ENOUGH_CM = 1.0
_MOST_MOVES = 6
_ROUGHLY = Stage(1.0, 0.1, 0.5)
"""Steps of a tenth of a second err by a tenth of a millimetre at the landing; what a word means is known to no 5 mm."""
_FROM_PARABOLA_ROUGHLY = (Stage(0.5, 0.1, 3.0), _ROUGHLY)


@dataclass(frozen=True)
class Described:
    """A feed as a log line tells it: where the feeder stood, for which hand, and the words; None where none."""

    x_cm: float
    y_cm: float
    height_cm: float | None
    handedness: Handedness
    spin: str
    length: Length
    sidespin: str | None = None
    placement: str | None = None
    height: str | None = None


@dataclass(frozen=True)
class Typical:
    """N feeds as they were wanted, and as they must be played; all NaN where that cannot be."""

    wanted: WantedFeeds
    feeds: Feeds


@dataclass(frozen=True)
class _Meant(Batch):
    """What the lengths of N lines mean: where the second bounce belongs, and where the first may fall."""

    second_x_cm: FloatArray
    first_depth_cm: FloatArray
    least_depth_cm: FloatArray

    @classmethod
    def by(cls, lines: Sequence[Described]) -> "_Meant":
        columns = (SECOND_BOUNCE_X_CM, FIRST_TRY_CM, LEAST_DEPTH_CM)
        return cls(*(np.array([by_length[line.length] for line in lines]) for by_length in columns))


def typical_feeds(lines: Sequence[Described], coefficients: Coefficients = SET_A) -> WantedFeeds:
    """The feeds (N,) the lines describe, landing where the second bounce comes nearest to what the length means.

    A long ball lands deep in any case. Raises OutOfBounds for a feeder from which no ball can be fed.
    """
    return typical_by_set(lines, [coefficients])[0].wanted


def typical_by_set(lines: Sequence[Described], sets: Iterable[Coefficients] = ALL_SETS) -> list[Typical]:
    """As typical_feeds, by each set of coefficients, and how to play them. Places to within a centimetre or two.

    Raises as typical_feeds.
    """
    placed, meant = _placed(lines), _Meant.by(lines)
    placed.check()
    found: list[Typical] = []
    for each in sets:
        found.append(_found(placed, meant, each, found[-1] if found else None))
    return found


def alike(lines: Sequence[Described]) -> tuple[list[Described], IntArray]:
    """One line for each kind of ball, and the kind (N,) of every line: left and right hands meet the same balls."""
    columns = np.stack([*vars(_placed(lines)).values(), _Meant.by(lines).second_x_cm])
    _, first, kind = np.unique(columns, axis=1, return_index=True, return_inverse=True)
    return [lines[place] for place in first], kind


def length_verdicts(
    lines: Sequence[Described],
    sets: Iterable[Coefficients] = ALL_SETS,
    *,
    tolerance_cm: float = HALF_LONG_TOLERANCE_CM,
) -> list[Verdict]:
    """Whether such a ball can have the length its line claims: by all sets of coefficients, by some, or by none.

    A doubtful line is to be marked, never refused. Raises as typical_feeds.
    """
    sets = list(sets)
    kinds, kind_of_line = alike(lines)
    lengths = [
        length_of(follow(typical.feeds, each), tolerance_cm=tolerance_cm)
        for typical, each in zip(typical_by_set(kinds, sets), sets, strict=True)
    ]
    verdicts = [compare_length(line.length, column) for line, column in zip(kinds, np.array(lengths).T, strict=True)]
    return [verdicts[kind] for kind in kind_of_line]


def _placed(lines: Sequence[Described]) -> WantedFeeds:
    """The feeds with the place of their placement as target: they land on the straight way to it."""
    return WantedFeeds.of(
        x_cm=[line.x_cm for line in lines],
        y_cm=[line.y_cm for line in lines],
        height_cm=[RELEASE_HEIGHT_CM if line.height_cm is None else line.height_cm for line in lines],
        target_x_cm=[PLACED_X_CM[line.length] for line in lines],
        target_y_cm=[forehand_cm(FOREHAND_CM[line.placement or "middle"], line.handedness) for line in lines],
        net_clearance_cm=[NET_CLEARANCE_CM[line.height or "medium"] for line in lines],
        topspin_rps=[TOPSPIN_RPS[line.spin] for line in lines],
        sidespin_rps=[SIDESPIN_RPS[line.sidespin or "none"] for line in lines],
    )


def _landing_at(placed: WantedFeeds, depth_cm: FloatArray) -> WantedFeeds:
    """The same feeds, to land at a depth (N,), safely inside the side lines."""
    share = (depth_cm - placed.x_cm) / (placed.target_x_cm - placed.x_cm)
    side_cm = placed.y_cm + share * (placed.target_y_cm - placed.y_cm)
    furthest_cm = HALF_WIDTH_CM - LINE_WIDTH_CM
    return replace(placed, target_x_cm=depth_cm, target_y_cm=np.clip(side_cm, -furthest_cm, furthest_cm))


def _found(placed: WantedFeeds, meant: _Meant, coefficients: Coefficients, near: Typical | None) -> Typical:
    """Aims, looks where the second bounce falls, and moves the landing until that is near what is meant (N,)."""
    found = near or _aimed_first(_landing_at(placed, meant.first_depth_cm), coefficients)
    start, seeking, depth_cm = found.feeds, np.arange(placed.x_cm.size), found.wanted.target_x_cm
    for _ in range(_MOST_MOVES):
        goal = _landing_at(placed.take(seeking), depth_cm)
        feeds = _aimed(start.take(seeking), goal, coefficients, (_ROUGHLY,))
        found = Typical(found.wanted.put(seeking, goal), found.feeds.put(seeking, feeds))
        start = start.put(seeking, feeds.filled(start.take(seeking)))
        moved_cm = depth_cm + _move_cm(feeds, meant.second_x_cm[seeking], coefficients)
        moved_cm = np.clip(moved_cm, meant.least_depth_cm[seeking], MOST_DEPTH_CM)
        is_far = np.abs(moved_cm - depth_cm) > _CLOSE_ENOUGH_CM
        seeking, depth_cm = seeking[is_far], moved_cm[is_far]
        if seeking.size == 0:
            break
    return found


def _aimed_first(wanted: WantedFeeds, coefficients: Coefficients) -> Typical:
    """A start for the search: from the parabola, where no ball is found to begin with."""
    parabola = without_air(wanted)
    return Typical(wanted, _aimed(parabola, wanted, coefficients, _FROM_PARABOLA_ROUGHLY).filled(parabola))


def _aimed(feeds: Feeds, wanted: WantedFeeds, coefficients: Coefficients, stages: tuple[Stage, ...]) -> Feeds:
    return adjust(
        feeds,
        wanted,
        coefficients,
        vary=("speed_mps", "elevation_deg", "yaw_deg"),
        hold=(LENGTH, LINE, CLEARANCE),
        stages=stages,
    )


def _move_cm(feeds: Feeds, second_cm: FloatArray, coefficients: Coefficients) -> FloatArray:
    """How much deeper (N,) the feeds should land; so high a ball that cannot fall so near behind the net, deeper."""
    miss_cm = second_cm - follow(feeds, coefficients, step_s=_ROUGHLY.step_s).second_x_cm
    move_cm = np.clip(miss_cm / _FURTHER_PER_DEPTH, -_LONGEST_MOVE_CM, _LONGEST_MOVE_CM)
    return np.where(np.isnan(miss_cm), _LONGEST_MOVE_CM, move_cm)
