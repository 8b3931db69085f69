"""Bars, one for each week: drawn for paper, in black and grey, to be read without colour."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import ceil

from dashboard.drawings.markup import Markup, element

WIDTH, THIRD, HEIGHT = 500.0, 166.0, 100.0
"""Points: as wide as a page, or as a third of it."""
LEFT, RIGHT, TOP, BOTTOM = 38.0, 12.0, 14.0, 18.0
BAR_SHARE = 0.7
LABEL = 50.0
"""So much room the name of a week takes."""
MOST_WEEKS = 26
CROSS = 2.5
"""Half of a cross."""


@dataclass(frozen=True)
class Bar:
    """One week: how much; None where there is no log, which is not nothing. The chosen one carries its number."""

    week: date
    height: float | None
    is_chosen: bool = False


def weeks_drawn(bars: Sequence[Bar], width: float = WIDTH) -> Markup:
    """The drawing of at least one week, the earliest first."""
    most = max([bar.height or 0 for bar in bars] + [1])
    step = (width - LEFT - RIGHT) / len(bars)
    return element(
        "svg",
        *_scale(most, width),
        *(mark for at, bar in enumerate(bars) for mark in _bar(bar, LEFT + at * step, step, most)),
        *_names(bars, step),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {width:g} {HEIGHT:g}",
        width=f"{width:g}",
        height=f"{HEIGHT:g}",
    )


def _scale(most: float, width: float) -> tuple[Markup, ...]:
    """The ground, and how high the highest bar is."""
    top, ground = f"{TOP:g}", f"{HEIGHT - BOTTOM:g}"
    return (
        element("line", x1=f"{LEFT:g}", x2=f"{width:g}", y1=ground, y2=ground, stroke="#000000", stroke_width="0.8"),
        element("line", x1=f"{LEFT:g}", x2=f"{width:g}", y1=top, y2=top, stroke="#767676", stroke_width="0.4"),
        _text(f"{most:,.0f}", LEFT - 4, TOP + 3, "end"),
        _text("0", LEFT - 4, HEIGHT - BOTTOM + 3, "end"),
    )


def _bar(bar: Bar, left: float, step: float, most: float) -> tuple[Markup, ...]:
    middle, ground = left + step / 2, HEIGHT - BOTTOM
    if bar.height is None:
        return (_cross(middle, ground - CROSS - 2),)
    tall = (ground - TOP) * bar.height / most
    rect = element(
        "rect",
        x=f"{left + step * (1 - BAR_SHARE) / 2:.2f}",
        y=f"{ground - tall:.2f}",
        width=f"{step * BAR_SHARE:.2f}",
        height=f"{tall:.2f}",
        fill="#14181C" if bar.is_chosen else "#767676",
    )
    return (rect, *(_number(f"{bar.height:,.0f}", middle, ground - tall - 3) if bar.is_chosen else ()))


def _cross(across: float, down: float) -> Markup:
    strokes = f"M{across - CROSS:.1f} {down - CROSS:.1f}l5 5m0 -5l-5 5"
    return element("path", d=strokes, stroke="#000000", stroke_width="1.2", fill="none")


def _names(bars: Sequence[Bar], step: float) -> tuple[Markup, ...]:
    """The Mondays below, as many as there is room for; the last always."""
    every = ceil(LABEL / step)
    named = range(len(bars) - 1, -1, -every)
    return tuple(
        _text(f"{bars[at].week.day} {bars[at].week:%b}", LEFT + (at + 0.5) * step, HEIGHT - 5, "middle")
        for at in sorted(named)
    )


def _number(words: str, across: float, down: float) -> tuple[Markup, Markup]:
    """On white, so that it can be read across a line."""
    width = 5.0 * len(words)
    ground = element(
        "rect", x=f"{across - width / 2:.1f}", y=f"{down - 7:.1f}", width=f"{width:g}", height=8, fill="#FFFFFF"
    )
    return ground, _text(words, across, down, "middle")


def _text(words: str, across: float, down: float, anchor: str) -> Markup:
    place = {"x": f"{across:.1f}", "y": f"{down:.1f}", "text_anchor": anchor}
    return element("text", words, font_size="9", font_family="Sofia Sans", **place)
