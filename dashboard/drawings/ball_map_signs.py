"""The words and signs along the edges of a map of balls."""

from collections.abc import Sequence
from itertools import groupby

from dashboard.drawings.arranged import Values
from dashboard.drawings.ball_map_frame import SIGN_ROOM, Frame, Look
from dashboard.drawings.markup import Markup, element
from dashboard.drawings.signs import Hand, at, sign
from dashboard.drawings.skins import Skin
from dashboard.drawings.svg import group, text
from dashboard.words.phrases import phrase


def side_words(frame: Frame, skin: Skin) -> list[Markup]:
    """Over each column of places, its side."""
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


def depth_words(frame: Frame, skin: Skin) -> list[Markup]:
    """In each row of places, its depth."""
    return [
        text(frame.left + 1, frame.place(i, 0)[1] + 12, phrase("depth", depth), fill=skin.ink, font_weight=500)
        for i, depth in enumerate(frame.grid.depths)
        if depth
    ]


def column_signs(frame: Frame, look: Look) -> list[Markup]:
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


def row_signs(frame: Frame, look: Look) -> list[Markup]:
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
