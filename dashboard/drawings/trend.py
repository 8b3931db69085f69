"""A trend with its range, and single sessions as dots."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from dashboard.drawings.markup import Markup
from dashboard.drawings.skins import SCREEN, Skin
from dashboard.drawings.svg import circle, number, path, picture, text

TICKS = (0, 25, 50, 75, 100)


@dataclass(frozen=True)
class TrendPoint:
    """A day, the rate then, and its range (shares of 1)."""

    on: date
    rate: float
    low: float
    high: float


@dataclass(frozen=True)
class _Axes:
    """From days and rates to places."""

    first: date
    last: date
    least: int
    most: int
    width: float
    height: float
    margin: float
    foot: float

    def x(self, on: date) -> float:
        days = max((self.last - self.first).days, 1)
        return self.margin + (on - self.first).days / days * (self.width - self.margin - 8)

    def y(self, rate: float) -> float:
        room = self.height - self.foot - 12
        return 8 + room * (1 - (100 * rate - self.least) / (self.most - self.least))


def trend(
    points: Sequence[TrendPoint],
    sessions: Sequence[tuple[date, float]] = (),
    *,
    width: float = 520,
    height: float = 190,
    skin: Skin = SCREEN,
) -> Markup:
    """The line of the rate, the band of its range, the sessions; good balls of 100 upwards, months along.

    In words it tells where the line begins and ends. Without a point it is an empty frame that says so.
    """
    axes = _axes(points, sessions, width, height)
    return picture(
        *_ticks(axes, skin),
        *_months(axes, skin),
        *(_band(points, axes, skin) if points else []),
        *_dots(sessions, axes, skin),
        *(_line(points, axes, skin) if points else []),
        width=width,
        height=height,
        alternative=trend_in_words(points, sessions),
        skin=skin,
        class_="hl-trend",
    )


def trend_in_words(points: Sequence[TrendPoint], sessions: Sequence[tuple[date, float]]) -> str:
    """What the drawing says in words."""
    if not points:
        return "Success over time: too few balls to tell."
    first, last = points[0], points[-1]
    sentence = f"Success from {_day(first.on)} to {_day(last.on)}: {_in_100(first)} at first, {_in_100(last)} at last"
    return f"{sentence}; {len(sessions)} sessions as dots." if sessions else f"{sentence}."


def _in_100(point: TrendPoint) -> str:
    return f"{100 * point.rate:.0f} in 100 (range {100 * point.low:.0f} to {100 * point.high:.0f})"


def _day(on: date) -> str:
    return f"{on.day} {on:%B %Y}"


def _axes(points: Sequence[TrendPoint], sessions: Sequence[tuple[date, float]], width: float, height: float) -> _Axes:
    days = [point.on for point in points] + [on for on, _ in sessions] or [date(2000, 1, 1)]
    lows = [point.low for point in points] + [rate for _, rate in sessions] or [0.0]
    least = max(tick for tick in TICKS[:3] if tick <= 100 * min(lows) or tick == 0)
    return _Axes(min(days), max(days), least, 100, width, height, 30, 20)


def _ticks(axes: _Axes, skin: Skin) -> list[Markup]:
    marks = []
    for tick in (tick for tick in TICKS if tick >= axes.least):
        y = axes.y(tick / 100)
        marks.append(path(f"M{number(axes.margin)} {number(y)}H{number(axes.width - 8)}", stroke=skin.line))
        marks.append(text(axes.margin - 6, y + 4, str(tick), fill=skin.soft, anchor="end"))
    return marks


def _months(axes: _Axes, skin: Skin) -> list[Markup]:
    """The months in the middle of their days; every second or third where they would touch."""
    starts = _firsts_of_months(axes.first, axes.last)
    every = max(1, round(34 * len(starts) / (axes.width - axes.margin) + 0.5))
    middles = [(on, min(on + timedelta(days=14), axes.last)) for on in starts]
    return [
        text(axes.x(max(middle, axes.first)), axes.height - 4, f"{on:%b}", fill=skin.soft, anchor="middle")
        for i, (on, middle) in enumerate(middles)
        if i % every == 0
    ]


def _firsts_of_months(first: date, last: date) -> list[date]:
    count = 12 * (last.year - first.year) + last.month - first.month + 1
    months = [divmod(12 * first.year + first.month - 1 + i, 12) for i in range(count)]
    return [date(year, month + 1, 1) for year, month in months]


def _band(points: Sequence[TrendPoint], axes: _Axes, skin: Skin) -> list[Markup]:
    above = [f"{number(axes.x(point.on))} {number(axes.y(point.high))}" for point in points]
    below = [f"{number(axes.x(point.on))} {number(axes.y(point.low))}" for point in reversed(points)]
    return [path("M" + "L".join(above + below) + "Z", fill=skin.band, opacity=".85")]


def _dots(sessions: Sequence[tuple[date, float]], axes: _Axes, skin: Skin) -> list[Markup]:
    look = {"fill": "none", "stroke": skin.edge, "stroke_width": "1.1"}
    return [circle(axes.x(on), axes.y(rate), 2.2, **look) for on, rate in sessions]


def _line(points: Sequence[TrendPoint], axes: _Axes, skin: Skin) -> list[Markup]:
    steps = "M" + "L".join(f"{number(axes.x(point.on))} {number(axes.y(point.rate))}" for point in points)
    last = points[-1]
    joins = {"stroke_linejoin": "round", "stroke_linecap": "round"}
    return [
        path(steps, stroke=skin.met, stroke_width="2.4", **joins),
        circle(axes.x(last.on), axes.y(last.rate), 4.4, fill=skin.met, stroke=skin.card, stroke_width="1.6"),
    ]
