"""The measures of a map of balls, and what it shows beside its cells."""

from collections.abc import Sequence
from dataclasses import dataclass

from dashboard.drawings.arranged import Arrangement
from dashboard.drawings.balls import COACH_WORDS, Ball, StateWords
from dashboard.drawings.cells import Box
from dashboard.drawings.signs import Hand
from dashboard.drawings.skins import SCREEN, Skin

SIGN_ROOM = 22.0
"""Beside the map, for each dimension whose signs stand there."""
SMALLEST_TOUCHED = 24.0
"""A cell smaller than this cannot be hit by a finger (WCAG 2.2, 2.5.8); then the whole place is what is touched."""
TALLEST_CELL = 44.0


@dataclass(frozen=True)
class Look:
    """What a map shows beside its cells.

    `next_balls`: what to feed next, in order; marked with its number. `words`: the words of the states.
    `player`: what stands under the map beside the feet, as `you`; empty: no near half is drawn. `is_still`: nothing can
    be touched or reached by keys, as on paper.
    """

    hand: Hand = "right"
    next_balls: Sequence[Ball] = ()
    words: StateWords = COACH_WORDS
    player: str = "you"
    is_still: bool = False
    shows_counts: bool = False
    skin: Skin = SCREEN


@dataclass(frozen=True)
class Frame:
    """The measures of a map: where each place and each cell is."""

    grid: Arrangement
    width: float

    @property
    def left(self) -> float:
        """Where the places begin; the signs of the rows stand before it."""
        return SIGN_ROOM * len(self.grid.down) + 2 if self.grid.down else 8.0

    @property
    def top(self) -> float:
        """Where the places begin; the words of the sides and the signs of the columns stand above it."""
        sides = 20 if self.grid.sides != (None,) else 4
        return sides + (20 * len(self.grid.across) if self.has_column_signs else 0)

    @property
    def has_column_signs(self) -> bool:
        """Columns are wide enough for signs."""
        return bool(self.grid.across) and self.cell_width >= 9

    @property
    def gap(self) -> float:
        """Between two cells of a place."""
        return 2.0 if len(self.grid.columns) * len(self.grid.sides) <= 12 else 1.2

    @property
    def place_gap(self) -> float:
        """Between two places."""
        return 9.0

    @property
    def caption(self) -> float:
        """Above the cells of a place, for the word of its depth."""
        return 17.0 if self.grid.depths != (None,) else 2.0

    @property
    def place_width(self) -> float:
        """All places are equally wide."""
        sides = len(self.grid.sides)
        return (self.width - self.left - 4 - self.place_gap * (sides - 1)) / sides

    @property
    def cell_width(self) -> float:
        """All cells are equally wide."""
        columns = len(self.grid.columns)
        return (self.place_width - self.gap * (columns - 1)) / columns

    @property
    def cell_height(self) -> float:
        """All cells are equally high."""
        wanted = min(TALLEST_CELL, max(8.0, 0.82 * self.cell_width))
        return max(34.0, wanted) if self.is_touched_by_cell else wanted

    @property
    def is_touched_by_cell(self) -> bool:
        """Cells are large enough for a finger; else the whole place is touched."""
        return self.cell_width >= SMALLEST_TOUCHED

    @property
    def place_height(self) -> float:
        """All places are equally high."""
        rows = len(self.grid.rows)
        return self.caption + rows * self.cell_height + (rows - 1) * self.gap

    @property
    def net(self) -> float:
        """Where the net is, under the places."""
        depths = len(self.grid.depths)
        return self.top + depths * self.place_height + (depths - 1) * self.place_gap + 6

    def place(self, depth: int, side: int) -> tuple[float, float]:
        """The left upper corner of a place."""
        return (
            self.left + side * (self.place_width + self.place_gap),
            self.top + depth * (self.place_height + self.place_gap),
        )

    def box(self, ball: Ball) -> Box:
        """The cell of a ball."""
        depth, side, column, row = self.grid.place_of(ball)
        x, y = self.place(depth, side)
        return (
            x + column * (self.cell_width + self.gap),
            y + self.caption + row * (self.cell_height + self.gap),
            self.cell_width,
            self.cell_height,
        )
