"""The map of balls: all kinds of ball of a target on the far half of the table, each filled as far as it was met."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from dashboard.drawings.arranged import Arrangement, Values, arranged
from dashboard.drawings.balls import COACH_WORDS, Ball, Met, State, StateWords, counted
from dashboard.drawings.cells import Box, cell, small_cells
from dashboard.drawings.markup import Markup, element
from dashboard.drawings.signs import Hand, at, ready, sign
from dashboard.drawings.skins import SCREEN, Skin
from dashboard.drawings.svg import circle, group, number, path, picture, put, rect, text
from dashboard.words.phrases import phrase

SIGN_ROOM = 22.0
"""Beside the map, for each dimension whose signs stand there."""
SMALLEST_TOUCHED = 24.0
"""A cell smaller than this cannot be hit by a finger (WCAG 2.2, 2.5.8); then the whole place is what is touched."""
NEAR_HALF = 62.0
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
class _Frame:
    """The measures of a map: where each place and each cell is."""

    grid: Arrangement
    width: float

    @property
    def left(self) -> float:
        return SIGN_ROOM * len(self.grid.down) + 2 if self.grid.down else 8.0

    @property
    def top(self) -> float:
        sides = 20 if self.grid.sides != (None,) else 4
        return sides + (20 * len(self.grid.across) if self.has_column_signs else 0)

    @property
    def has_column_signs(self) -> bool:
        return bool(self.grid.across) and self.cell_width >= 9

    @property
    def gap(self) -> float:
        return 2.0 if len(self.grid.columns) * len(self.grid.sides) <= 12 else 1.2

    @property
    def place_gap(self) -> float:
        return 9.0

    @property
    def caption(self) -> float:
        return 17.0 if self.grid.depths != (None,) else 2.0

    @property
    def place_width(self) -> float:
        sides = len(self.grid.sides)
        return (self.width - self.left - 4 - self.place_gap * (sides - 1)) / sides

    @property
    def cell_width(self) -> float:
        columns = len(self.grid.columns)
        return (self.place_width - self.gap * (columns - 1)) / columns

    @property
    def cell_height(self) -> float:
        wanted = min(TALLEST_CELL, max(8.0, 0.82 * self.cell_width))
        return max(34.0, wanted) if self.is_touched_by_cell else wanted

    @property
    def is_touched_by_cell(self) -> bool:
        return self.cell_width >= SMALLEST_TOUCHED

    @property
    def place_height(self) -> float:
        rows = len(self.grid.rows)
        return self.caption + rows * self.cell_height + (rows - 1) * self.gap

    @property
    def net(self) -> float:
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


def ball_map(cells: Sequence[Met], width: float, look: Look | None = None, *, title: str = "Map of balls") -> Markup:
    """The map, `width` pixels wide; in words it tells how many balls are in which state and which come next.

    A cell says what it is by hover, focus and touch; one stop of the Tab key, arrow keys inside. Where cells are too
    small for a finger, places are touched instead.
    """
    look = look or Look()
    frame = _Frame(arranged(cells, look.hand), width)
    near = NEAR_HALF + 30 if look.player else 4
    return picture(
        _far_half(frame, look.skin),
        *_side_words(frame, look.skin),
        *_column_signs(frame, look),
        *_row_signs(frame, look),
        *_depth_words(frame, look.skin),
        *(_cells(frame, cells, look) if frame.is_touched_by_cell else _places(frame, cells, look)),
        *_next_marks(frame, look),
        *_near_half(frame, look),
        width=width,
        height=frame.net + near,
        alternative=said(cells, look, title),
        skin=look.skin,
        class_="hl-map",
        **({} if look.is_still else {"role": "group", "data_map": "cells"}),
    )


def small_map(cells: Sequence[Met], width: float, height: float, hand: Hand = "right", *, name: str) -> Markup:
    """The same map without signs, for a page of many players; `name` is whose map it is."""
    grid = arranged(cells, hand)
    place_gap, edge = 4.0, 4.0
    wide = (width - 2 * edge - place_gap * (len(grid.sides) - 1)) / len(grid.sides)
    tall = (height - 2 * edge - place_gap * (len(grid.depths) - 1)) / len(grid.depths)
    columns, rows = len(grid.columns), len(grid.rows)
    gap = min(1.2, 0.14 * wide / columns, 0.14 * tall / rows)
    cell_wide, cell_tall = (wide - gap * (columns - 1)) / columns, (tall - gap * (rows - 1)) / rows
    boxes: dict[State, list[tuple[Box, float]]] = {}
    for one in cells:
        depth, side, column, row = grid.place_of(one.ball)
        x = edge + side * (wide + place_gap) + column * (cell_wide + gap)
        y = edge + depth * (tall + place_gap) + row * (cell_tall + gap)
        boxes.setdefault(one.state, []).append(((x, y, cell_wide, cell_tall), one.share))
    return picture(
        rect(0.6, 0.6, width - 1.2, height - 1.6, fill=SCREEN.table, stroke=SCREEN.tableline, stroke_width="1.2"),
        small_cells(boxes),
        path(f"M0 {number(height - 1.1)}H{number(width)}", stroke=SCREEN.ink, stroke_width="2.2"),
        width=width,
        height=height,
        alternative=f"{name}: {counted(cells)}",
        class_="hl-small-map",
    )


def said(cells: Sequence[Met], look: Look, title: str) -> str:
    """What a map says in words."""
    next_balls = [f"{i}, {ball.told()}" for i, ball in enumerate(look.next_balls, start=1)]
    told = f"{title}: {counted(cells, look.words)}."
    return f"{told} Next: {'; '.join(next_balls)}." if next_balls else told


def _far_half(frame: _Frame, skin: Skin) -> Markup:
    left, right, top = frame.left - 4, frame.width - 1, frame.top - 4
    surface = rect(left, top, right - left, frame.net - top, fill=skin.table)
    down = f"V{number(frame.net)}"
    line = f"M{number(left)} {number(frame.net)}V{number(top)}H{number(right)}{down}"
    net = path(f"M{number(max(0, left - 6))} {number(frame.net)}H{number(frame.width)}")
    edge = path(line, stroke=skin.tableline, stroke_width="1.6")
    return put(surface, edge, _inked(net, skin))


def _inked(line: Markup, skin: Skin) -> Markup:
    return group(line, stroke=skin.ink, stroke_width="3.4")


def _side_words(frame: _Frame, skin: Skin) -> list[Markup]:
    middle = frame.place_width / 2
    return [
        text(
            frame.place(0, i)[0] + middle,
            13,
            phrase("side", side),
            size=13,
            fill=skin.ink,
            font_weight=600,
            anchor="middle",
        )
        for i, side in enumerate(frame.grid.sides)
        if side
    ]


def _depth_words(frame: _Frame, skin: Skin) -> list[Markup]:
    return [
        text(frame.left + 1, frame.place(i, 0)[1] + 12, phrase("depth", depth), fill=skin.ink, font_weight=500)
        for i, depth in enumerate(frame.grid.depths)
        if depth
    ]


def _column_signs(frame: _Frame, look: Look) -> list[Markup]:
    """Over each place, a line of signs for each dimension across."""
    if not frame.has_column_signs:
        return []
    size = min(14.0, frame.cell_width - 1)
    step = frame.cell_width + frame.gap
    levels = len(frame.grid.across)
    return [
        _named_sign(
            dimension,
            word,
            (frame.place(0, side)[0] + middle * step - frame.gap / 2, frame.top - 13 - 20 * (levels - 1 - level)),
            size,
            look.skin.ink,
            look.hand,
        )
        for level, dimension in enumerate(frame.grid.across)
        for word, middle in _spans(frame.grid.columns, level)
        for side in range(len(frame.grid.sides))
    ]


def _row_signs(frame: _Frame, look: Look) -> list[Markup]:
    """Beside the places, a column of signs for each dimension down; where rows are too thin, none."""
    if frame.cell_height < 12:
        return []
    size = min(14.0, frame.cell_height - 1)
    step = frame.cell_height + frame.gap
    return [
        _named_sign(
            dimension,
            word,
            (11 + SIGN_ROOM * level, frame.place(depth, 0)[1] + frame.caption + middle * step - frame.gap / 2),
            size,
            look.skin.soft,
            look.hand,
        )
        for level, dimension in enumerate(frame.grid.down)
        for word, middle in _spans(frame.grid.rows, level)
        for depth in range(len(frame.grid.depths))
    ]


def _spans(lines: Sequence[Values], level: int) -> list[tuple[str, float]]:
    """The words of a level, each once over the lines that it holds for, with their middle counted in lines."""
    spans = []
    for values, held in groupby(enumerate(lines), key=lambda line: line[1][: level + 1]):
        numbers = [i for i, _ in held]
        spans.append((values[-1], (numbers[0] + numbers[-1] + 1) / 2))
    return spans


def _named_sign(dimension: str, word: str, middle: tuple[float, float], size: float, colour: str, hand: Hand) -> Markup:
    title = element("title", phrase(dimension, word))
    return group(title, at(*middle, sign(dimension, word, hand), size, colour))


def _cells(frame: _Frame, cells: Iterable[Met], look: Look) -> list[Markup]:
    return [_touchable(_cell(frame, one, look), _told(one, look), look, is_first=i == 0) for i, one in enumerate(cells)]


def _told(one: Met, look: Look) -> str:
    return one.told or f"{one.ball.told()}: {look.words[one.state]}"


def _touchable(drawn: Markup, told: str, look: Look, *, is_first: bool, place: str | None = None) -> Markup:
    """Something that says what it is; only the first is a stop of the Tab key, arrow keys lead to the others."""
    if look.is_still:
        return drawn
    return group(drawn, role="img", aria_label=told, tabindex=0 if is_first else -1, class_="hl-cell", data_place=place)


def _cell(frame: _Frame, one: Met, look: Look) -> Markup:
    x, y, width, height = box = frame.box(one.ball)
    middle = x + width / 2, y + height / 2
    drawn = cell(box, one.state, one.share, skin=look.skin)
    if look.shows_counts:
        return put(drawn, _count(one, middle, look.skin))
    if not frame.grid.across:
        return drawn
    colour = {"covered": look.skin.onmet, "empty": look.skin.soft}.get(one.state, look.skin.ink)
    disc = circle(*middle, 10, fill=look.skin.card) if one.state in ("touched", "stale") else Markup()
    first = frame.grid.across[0]
    return put(drawn, disc, at(*middle, sign(first, one.ball.value(first) or "", look.hand), 16, colour))


def _count(one: Met, middle: tuple[float, float], skin: Skin) -> Markup:
    """How many balls, on a disc where the ground is of two colours."""
    if not one.count:
        return Markup()
    disc = circle(*middle, 11, fill=skin.card) if one.state == "touched" else Markup()
    colour = skin.onmet if one.state == "covered" else skin.ink
    return put(
        disc, text(middle[0], middle[1] + 4.5, str(one.count), size=13, fill=colour, font_weight=600, anchor="middle")
    )


def _places(frame: _Frame, cells: Sequence[Met], look: Look) -> list[Markup]:
    """Each place with its cells as one thing to touch."""
    drawn: list[Markup] = []
    for depth, far in enumerate(frame.grid.depths):
        for side, across in enumerate(frame.grid.sides):
            own = [one for one in cells if (one.ball.depth, one.ball.side) == (far, across)]
            boxes: dict[State, list[tuple[Box, float]]] = {}
            for one in own:
                boxes.setdefault(one.state, []).append((frame.box(one.ball), one.share))
            x, y = frame.place(depth, side)
            size = frame.place_width + 4, frame.place_height - frame.caption + 4
            hit = rect(x - 2, y + frame.caption - 2, *size, radius=4, fill="transparent", class_="hl-place-edge")
            told = f"{place_told(far, across)}: {counted(own, look.words)}"
            inside = put(small_cells(boxes, skin=look.skin), hit)
            drawn.append(
                _touchable(inside, told, look, is_first=not drawn, place=f"{far or ''} {across or ''}".strip())
            )
    return drawn


def place_told(depth: str | None, side: str | None) -> str:
    """Where the feeder stands, in words: `from the middle, forehand side`."""
    return Ball(depth=depth, side=side).told() if depth or side else "from anywhere"


def _next_marks(frame: _Frame, look: Look) -> list[Markup]:
    return [_next_mark(frame.box(ball), i, look.skin) for i, ball in enumerate(look.next_balls, start=1)]


def _next_mark(box: Box, order: int, skin: Skin) -> Markup:
    x, y, width, height = box
    around = rect(x - 0.5, y - 0.5, width + 1, height + 1, radius=4.5, fill="none")
    # Between orange and a full cell stands the colour of a card: orange on green alone is 1.6 to 1.
    edge = put(
        group(around, stroke=skin.card, stroke_width="5.6"), group(around, stroke=skin.nextmark, stroke_width="2.6")
    )
    if width < SMALLEST_TOUCHED:
        return edge
    disc = circle(x + width - 3, y + 3, 8, fill=skin.next, stroke=skin.card, stroke_width="1.4")
    told = text(x + width - 3, y + 7.2, str(order), size=12, fill=skin.onnext, font_weight=750, anchor="middle")
    return put(edge, disc, told)


def _near_half(frame: _Frame, look: Look) -> list[Markup]:
    """The half where the player stands; nothing is met there, it only says who looks from where."""
    if not look.player:
        return []
    skin, net, left, right = look.skin, frame.net, frame.left - 4, frame.width - 1
    end, middle = net + NEAR_HALF, (left + right) / 2
    sides = f"M{number(left)} {number(net)}V{number(end)}H{number(right)}V{number(net)}"
    return [
        rect(left, net + 1.7, right - left, NEAR_HALF - 1.7, fill=skin.table),
        path(f"{sides}M{number(middle)} {number(net)}V{number(end)}", stroke=skin.tableline, stroke_width="1.6"),
        path(f"M{number(max(0, left - 6))} {number(net)}H{number(frame.width)}", stroke=skin.ink, stroke_width="3.4"),
        text(left + 7, net + 16, "net", fill=skin.soft),
        at(middle - 2, end + 16, ready(), 20, skin.ink),
        text(middle + 16, end + 21, look.player, fill=skin.ink),
    ]
