"""The signs that are not balls: the name's mark, the places of the product, why a player needs a coach, small acts."""

from collections.abc import Callable

from dashboard.drawings.markup import Markup, joined
from dashboard.drawings.signs import dot, ring, sign
from dashboard.drawings.svg import path, rect, stroke


def mark() -> Markup:
    """The name: a half-long ball, whose second bounce falls on the end line."""
    end_line = path("M.9 12.8H12.9V15.4", **stroke(1.7))
    arc = path("M1 3.6C2.6 4.8 4 7.6 4.7 11.4C6.2 3.4 10.6 3.2 12.6 9", **stroke(1.7))
    return joined(end_line, arc, dot(12.9, 10, 2.2))


def reason(word: str) -> Markup:
    """Why a player needs the coach; the words of report.needs."""
    return REASONS[word]()


def icon(word: str) -> Markup:
    """A place of the product, or a small act."""
    return ICONS[word]()


def _full(x: float, y: float, width: float, height: float, radius: float = 1) -> Markup:
    return rect(x, y, width, height, radius=radius, fill="currentColor")


def _box(x: float, y: float, width: float, height: float, radius: float = 1, line: float = 1.5) -> Markup:
    return rect(x, y, width, height, radius=radius, **stroke(line))


def _line(steps: str, width: float = 1.6) -> Markup:
    return path(steps, **stroke(width))


def _one_place() -> Markup:
    """One of nine places."""
    others = [(i, j) for i in range(3) for j in range(3) if (i, j) != (1, 0)]
    empty = (_box(1.6 + i * 4.6, 1.6 + j * 4.6, 3.6, 3.6, 0.8, 1) for i, j in others)
    return joined(_full(6.2, 1.6, 3.6, 3.6, 0.8), *empty)


def _hatched() -> Markup:
    return joined(_box(1.8, 1.8, 12.4, 12.4, 2.4, 1.4), _line("M3 9L9 3M3 13.4L13.4 3M7.6 13.4L13.4 7.6", 1.3))


def _rising() -> Markup:
    return joined(_line("M1.5 12L6 8.4L9.6 10.4L14.5 4", 1.8), dot(14, 4.3, 1.6))


def _tick() -> Markup:
    return _line("M2.4 8.6L6.4 12.4L13.6 4", 2.2)


def _tick_small() -> Markup:
    return _line("M5.4 4.2L7.4 6.2L11 2", 1.7)


REASONS: dict[str, Callable[[], Markup]] = {
    "one_place": _one_place,
    "one_spin": lambda: sign("spin_family", "topspin"),
    "one_tempo": lambda: sign("tempo_band", "slow"),
    "spin_tied": lambda: joined(dot(3.8, 4.6, 2.6), _full(9.6, 9, 5, 5), _line("M5.6 6.4L9.8 9.8")),
    "falls_on_change": lambda: joined(_line("M1.4 4.6H7.4V11.4H14.6", 2), _line("M11.8 8.4L14.6 11.4L11.8 14.4")),
    "not_lately": _hatched,
    "no_log": lambda: joined(rect(2, 2, 12, 12, radius=6, **stroke(1.6), stroke_dasharray="2.6 2.4")),
    "few_balls": lambda: joined(rect(2, 2, 12, 12, radius=6, **stroke(1.6), stroke_dasharray="2.6 2.4"), dot(8, 8, 2)),
    "no_target": lambda: joined(ring(8, 8, 6.2), _line("M5.4 5.4L10.6 10.6M10.6 5.4L5.4 10.6")),
    "few_covered": lambda: joined(_box(1.8, 1.8, 12.4, 12.4, 2.4, 1.4), _full(1.8, 10, 12.4, 4.2, 1.6)),
    "all_well": _tick,
}

ICONS: dict[str, Callable[[], Markup]] = {
    "needs": lambda: joined(
        _box(1.8, 2.8, 12.4, 11.4, 2), _line("M1.8 6.6H14.2M5 1.2V4M11 1.2V4", 1.5), dot(8, 10.4, 1.5)
    ),
    "players": lambda: joined(
        _full(1.8, 1.8, 5.4, 5.4, 1.2),
        *(_box(x, y, 5.4, 5.4, 1.2, 1.4) for x, y in ((8.8, 1.8), (1.8, 8.8))),
        _full(8.8, 8.8, 5.4, 5.4, 1.2),
    ),
    "board": lambda: joined(
        _box(1.8, 1.8, 12.4, 12.4, 1.6), _line("M1.8 6H14.2M1.8 10H14.2M6 1.8V14.2M10 1.8V14.2", 1.1)
    ),
    "plan": lambda: joined(_line("M6 3.6H14.4M6 8H14.4M6 12.4H14.4"), *(dot(2.6, y, 1.5) for y in (3.6, 8, 12.4))),
    "hall": lambda: joined(
        _box(1.6, 2.2, 5, 8, 0.6, 1.4), _line("M1.2 6.2H7"), _box(9.4, 5.8, 5, 8, 0.6, 1.4), _line("M9 9.8H14.8")
    ),
    "setups": lambda: joined(_box(4, 4.6, 8, 10, 0.6, 1.3), _line("M3 9.6H13", 1.7), _full(6, 0.6, 4, 4)),
    "balls": lambda: joined(
        dot(4.4, 4.6, 2.9), ring(11.6, 4.6, 2.3, 1.4), ring(4.4, 11.6, 2.3, 1.4), dot(11.6, 11.6, 2.9)
    ),
    "trend": _rising,
    "me": lambda: joined(ring(8, 5.2, 3), _line("M2.2 14.4C2.8 10.6 5 9.8 8 9.8S13.2 10.6 13.8 14.4")),
    "next": lambda: _line("M2.2 8H12.6M8.6 3.8L13 8L8.6 12.2", 2),
    "table": lambda: joined(_box(3.2, 1.6, 9.6, 12.8, 0.8, 1.4), _line("M1.6 8H14.4", 1.8), dot(8, 11.2, 1.4)),
    "write": lambda: joined(_line("M2.4 13.6L3.4 10L11 2.4L13.6 5L6 12.6L2.4 13.6Z", 1.5), _line("M9.4 4L12 6.6", 1.3)),
    "week": lambda: joined(*(_full(1.4 + i * 3.5, 14 - tall, 2.4, tall, 0.6) for i, tall in enumerate((6, 9, 5, 12)))),
    "bring": lambda: _line("M8 1.6V10M4.6 6.8L8 10.2L11.4 6.8M1.8 10.6V14.2H14.2V10.6", 1.7),
    "batches": lambda: joined(_line("M1.8 9V14.2H14.2V9M1.8 9H5.4L6.6 11.2H9.4L10.6 9H14.2", 1.5), _tick_small()),
    "accept": lambda: joined(
        ring(5.6, 5.2, 2.5, 1.5), _line("M1 13.8C1.4 10.6 3 9.6 5.6 9.6M7.4 11.4L10 14L15 7.6", 1.6)
    ),
    "people": lambda: joined(
        ring(5.6, 5.2, 2.5, 1.5),
        _line("M1 13.8C1.4 10.6 3 9.6 5.6 9.6S9.8 10.6 10.2 13.8", 1.5),
        _line("M10.4 3A2.4 2.4 0 0 1 10.4 7.4M12 9.8C13.8 10.2 14.8 11.4 15 13.8", 1.5),
    ),
    "audit_trail": lambda: joined(ring(8, 8, 6.2), _line("M8 4.4V8L10.6 9.6")),
    "stored": lambda: joined(_box(2.6, 7, 10.8, 7.2, 1.4), _line("M5 7V4.6A3 3 0 0 1 11 4.6V7", 1.5)),
    "compare": lambda: joined(_box(1.6, 2.6, 5.2, 10.8), _full(9.2, 2.6, 5.2, 10.8)),
    "more": lambda: joined(*(dot(x, 8, 1.6) for x in (3, 8, 13))),
    "plus": lambda: _line("M8 2.6V13.4M2.6 8H13.4", 2),
    "cross": lambda: _line("M3.4 3.4L12.6 12.6M12.6 3.4L3.4 12.6", 2),
    "up": lambda: _line("M3.6 10L8 5.6L12.4 10", 2),
    "down": lambda: _line("M3.6 6L8 10.4L12.4 6", 2),
    "right": lambda: _line("M6 3.6L10.4 8L6 12.4", 2),
    "undo": lambda: _line("M3 6.4H10A4 4 0 0 1 10 14.2H6M6 3L2.6 6.4L6 9.8", 1.7),
    "swap": lambda: _line("M2 5H13M10 2L13.2 5L10 8M14 11H3M6 8L2.8 11L6 14"),
    "print": lambda: joined(_line("M4 6V1.8H12V6M4 11.6H1.8V6.2H14.2V11.6H12", 1.5), _box(4, 9.4, 8, 5, 0)),
    "clock": lambda: joined(ring(8, 8, 6.2), _line("M8 4.4V8L10.6 9.6")),
    "move": lambda: joined(
        rect(1.2, 5.4, 4.6, 4.6, radius=1, **stroke(1.2), stroke_dasharray="1.4 1.2"),
        _full(10.4, 5.4, 4.6, 4.6),
        _line("M6.6 2.6C8 1.4 10 1.4 11.6 2.6M9.6 3.4L12 3L11.8 .6", 1.2),
    ),
}
