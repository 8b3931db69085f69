"""The map of balls: all kinds of ball of a target on the far half of the table, each filled as far as it was met."""

from collections.abc import Iterable, Sequence

from dashboard.drawings.arranged import arranged
from dashboard.drawings.ball_map_frame import SMALLEST_TOUCHED, Frame, Look
from dashboard.drawings.ball_map_signs import column_signs, depth_words, row_signs, side_words
from dashboard.drawings.balls import Ball, Met, State, counted
from dashboard.drawings.cells import Box, cell, small_cells
from dashboard.drawings.markup import Markup, joined
from dashboard.drawings.signs import Hand, at, ready, sign
from dashboard.drawings.skins import SCREEN, Skin
from dashboard.drawings.svg import circle, group, number, path, picture, rect, text

NEAR_HALF = 62.0


def ball_map(cells: Sequence[Met], width: float, look: Look | None = None, *, title: str = "Map of balls") -> Markup:
    """The map, `width` pixels wide; in words it tells how many balls are in which state and which come next.

    A cell says what it is by hover, focus and touch; one stop of the Tab key, arrow keys inside. Where cells are too
    small for a finger, places are touched instead.
    """
    look = look or Look()
    frame = Frame(arranged(cells, look.hand), width)
    near = NEAR_HALF + 30 if look.player else 4
    return picture(
        _far_half(frame, look.skin),
        *side_words(frame, look.skin),
        *column_signs(frame, look),
        *row_signs(frame, look),
        *depth_words(frame, look.skin),
        *(_cells(frame, cells, look) if frame.is_touched_by_cell else _places(frame, cells, look)),
        *_next_marks(frame, cells, look),
        *_near_half(frame, look),
        width=width,
        height=frame.net + near,
        alternative=map_in_words(cells, look, title),
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


def map_in_words(cells: Sequence[Met], look: Look, title: str) -> str:
    """What a map says in words."""
    next_balls = [f"{i}, {ball.in_words()}" for i, ball in enumerate(look.next_balls, start=1)]
    sentence = f"{title}: {counted(cells, look.words)}."
    return f"{sentence} Next: {'; '.join(next_balls)}." if next_balls else sentence


def _far_half(frame: Frame, skin: Skin) -> Markup:
    left, right, top = frame.left - 4, frame.width - 1, frame.top - 4
    surface = rect(left, top, right - left, frame.net - top, fill=skin.table)
    down = f"V{number(frame.net)}"
    line = f"M{number(left)} {number(frame.net)}V{number(top)}H{number(right)}{down}"
    net = path(f"M{number(max(0, left - 6))} {number(frame.net)}H{number(frame.width)}")
    edge = path(line, stroke=skin.tableline, stroke_width="1.6")
    return joined(surface, edge, _inked(net, skin))


def _inked(line: Markup, skin: Skin) -> Markup:
    return group(line, stroke=skin.ink, stroke_width="3.4")


def _cells(frame: Frame, cells: Iterable[Met], look: Look) -> list[Markup]:
    return [
        _touchable(_cell(frame, one, look), _hover_text(one, look), look, is_first=i == 0)
        for i, one in enumerate(cells)
    ]


def _hover_text(one: Met, look: Look) -> str:
    return f"{one.ball.in_words()}: {look.words[one.state]}"


def _touchable(drawn: Markup, hover_text: str, look: Look, *, is_first: bool, place: str | None = None) -> Markup:
    """Something that says what it is; only the first is a stop of the Tab key, arrow keys lead to the others."""
    if look.is_still:
        return drawn
    role = "img" if place is None else "button"
    return group(
        drawn, role=role, aria_label=hover_text, tabindex=0 if is_first else -1, class_="hl-cell", data_place=place
    )


def _cell(frame: Frame, one: Met, look: Look) -> Markup:
    x, y, width, height = box = frame.box(one.ball)
    middle = x + width / 2, y + height / 2
    drawn = cell(box, one.state, one.share, skin=look.skin)
    if look.shows_counts:
        return joined(drawn, _count(one, middle, look.skin))
    if not frame.grid.across:
        return drawn
    colour = {"covered": look.skin.onmet, "empty": look.skin.soft}.get(one.state, look.skin.ink)
    disc = circle(*middle, 10, fill=look.skin.card) if one.state in ("touched", "stale") else Markup()
    first = frame.grid.across[0]
    return joined(drawn, disc, at(*middle, sign(first, one.ball.value(first) or "", look.hand), 16, colour))


def _count(one: Met, middle: tuple[float, float], skin: Skin) -> Markup:
    """How many balls, on a disc where the ground is of two colours."""
    if not one.count:
        return Markup()
    disc = circle(*middle, 11, fill=skin.card) if one.state == "touched" else Markup()
    colour = skin.onmet if one.state == "covered" else skin.ink
    return joined(
        disc, text(middle[0], middle[1] + 4.5, str(one.count), size=13, fill=colour, font_weight=600, anchor="middle")
    )


def _places(frame: Frame, cells: Sequence[Met], look: Look) -> list[Markup]:
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
            hover_text = f"{place_told(far, across)}: {counted(own, look.words)}"
            inside = joined(small_cells(boxes, skin=look.skin), hit)
            drawn.append(
                _touchable(inside, hover_text, look, is_first=not drawn, place=f"{far or ''} {across or ''}".strip())
            )
    return drawn


def place_told(depth: str | None, side: str | None) -> str:
    """Where the feeder stands, in words: `from the middle, forehand side`."""
    return Ball(depth=depth, side=side).in_words() if depth or side else "from anywhere"


def _next_marks(frame: Frame, cells: Iterable[Met], look: Look) -> list[Markup]:
    """What is next on a later day may be a ball of a newer target, which has no cell here."""
    drawn = {one.ball for one in cells}
    next_balls = enumerate(look.next_balls, start=1)
    return [_next_mark(frame.box(ball), i, look.skin) for i, ball in next_balls if ball in drawn]


def _next_mark(box: Box, order: int, skin: Skin) -> Markup:
    x, y, width, height = box
    around = rect(x - 0.5, y - 0.5, width + 1, height + 1, radius=4.5, fill="none")
    # Between orange and a full cell stands the colour of a card: orange on green alone is 1.6 to 1.
    edge = joined(
        group(around, stroke=skin.card, stroke_width="5.6"), group(around, stroke=skin.nextmark, stroke_width="2.6")
    )
    if width < SMALLEST_TOUCHED:
        return edge
    disc = circle(x + width - 3, y + 3, 8, fill=skin.next, stroke=skin.card, stroke_width="1.4")
    order_text = text(x + width - 3, y + 7.2, str(order), size=12, fill=skin.onnext, font_weight=750, anchor="middle")
    return joined(edge, disc, order_text)


def _near_half(frame: Frame, look: Look) -> list[Markup]:
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
