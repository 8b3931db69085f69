"""How a grid of 1 to 400 balls is laid on the far half of the table, as its player sees it.

Outside is the place of the feeder, at most nine; inside each place the other words, across and down. A left-hander's
map is mirrored, for the forehand side is on the playing hand's side.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from dashboard.drawings.balls import DIMENSIONS, RANKS, Ball, Met
from dashboard.drawings.signs import Hand

Values = tuple[str, ...]
"""Words of some dimensions, in the order of the dimensions."""

_OUTSIDE = ("depth", "side")
_ASKED_FIRST = ("spin_family", "spin", "length", "tempo_band", "placement", "height", "sidespin")
_INSIDE = tuple(dict.fromkeys((*_ASKED_FIRST, *(name for name in DIMENSIONS if name not in _OUTSIDE))))
"""The dimensions inside a place, the first across: which spin from where is what a coach asks first."""


@dataclass(frozen=True)
class Arrangement:
    """The places outside, far to near and left to right, and what stands in each, across and down."""

    depths: tuple[str | None, ...]
    sides: tuple[str | None, ...]
    across: tuple[str, ...]
    down: tuple[str, ...]
    columns: tuple[Values, ...]
    rows: tuple[Values, ...]

    def place_of(self, ball: Ball) -> tuple[int, int, int, int]:
        """Where a ball stands: number of its depth, side, column and row."""
        return (
            self.depths.index(ball.depth),
            self.sides.index(ball.side),
            self.columns.index(_values(ball, self.across)),
            self.rows.index(_values(ball, self.down)),
        )


def arranged(cells: Iterable[Met], hand: Hand) -> Arrangement:
    """The arrangement of a grid; what the player has met does not matter to it."""
    balls = [cell.ball for cell in cells]
    depths, sides = _words(balls, "depth"), _words(balls, "side")
    inside = [dimension for dimension in _INSIDE if _words(balls, dimension) != (None,)]
    across, down = _split(inside, balls, len(depths), len(sides))
    # The log's order begins at the forehand side; a right-hander has the backhand side on the left.
    as_seen = tuple(reversed(sides)) if hand == "right" else sides
    return Arrangement(depths, as_seen, across, down, _combined(balls, across), _combined(balls, down))


def _split(inside: list[str], balls: Sequence[Ball], depths: int, sides: int) -> tuple[Values, Values]:
    """So many of the dimensions go across that the whole map is least far from square."""

    def lean(count: int) -> float:
        wide = sides * len(_combined(balls, inside[:count]))
        tall = depths * len(_combined(balls, inside[count:]))
        return max(wide / tall, tall / wide)

    if not inside:
        return (), ()
    best = min(range(1, len(inside) + 1), key=lean)
    return tuple(inside[:best]), tuple(inside[best:])


def _words(balls: Iterable[Ball], dimension: str) -> tuple[str | None, ...]:
    """The words of a dimension that come up, in their order; (None,) where it is not named."""
    words = {ball.value(dimension) for ball in balls}
    return tuple(sorted(words, key=lambda word: RANKS[dimension].get(word or "", -1))) or (None,)


def _values(ball: Ball, dimensions: Sequence[str]) -> Values:
    return tuple(ball.value(dimension) or "" for dimension in dimensions)


def _combined(balls: Iterable[Ball], dimensions: Sequence[str]) -> tuple[Values, ...]:
    different = {_values(ball, dimensions) for ball in balls}
    ranked = sorted(
        different, key=lambda values: [RANKS[d].get(value, -1) for d, value in zip(dimensions, values, strict=True)]
    )
    return tuple(ranked) or ((),)
