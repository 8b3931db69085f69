"""Small pictures beside a figure. Each says its figure in words, or is hidden where these stand beside it."""

from collections.abc import Iterator, Sequence

from dashboard.drawings.markup import Markup
from dashboard.drawings.skins import SCREEN, Skin
from dashboard.drawings.svg import circle, number, path, picture, rect

WIDTH, HEIGHT = 150.0, 24.0
MOST_STEPS = 24


def steps(done: int, of: int, alternative: str | None = None, *, width: float = WIDTH, skin: Skin = SCREEN) -> Markup:
    """So many of so many, as full and pale bars; at most 24 bars, so that each may stand for several."""
    bars = min(of, MOST_STEPS)
    full = min(bars, max(round(done / of * bars), 1 if done else 0)) if of else 0
    wide = width / bars - 2 if bars else 0
    drawn = (
        rect(i * (wide + 2) + 1, 1, wide, HEIGHT - 2, radius=1, fill=skin.met if i < full else skin.few)
        for i in range(bars)
    )
    return picture(*drawn, width=width, height=HEIGHT, alternative=alternative, skin=skin, class_="hl-spark")


def range_bar(
    low: float,
    value: float,
    high: float,
    alternative: str | None = None,
    *,
    ends: tuple[float, float] = (0.0, 1.0),
    width: float = WIDTH,
    skin: Skin = SCREEN,
) -> Markup:
    """A value and its range on a line between two ends; a mark at nought where the line passes it."""
    least, most = ends

    def x(at: float) -> float:
        return 4 + (min(max(at, least), most) - least) / (most - least) * (width - 8)

    middle = number(HEIGHT / 2)
    line = path(f"M4 {middle}H{number(width - 4)}", stroke=skin.line, stroke_width="6", stroke_linecap="round")
    band = path(f"M{number(x(low))} {middle}H{number(x(high))}", stroke=skin.band, stroke_width="10")
    nought = [path(f"M{number(x(0))} 2V{number(HEIGHT - 2)}", stroke=skin.edge)] if least < 0 < most else []
    mark = path(f"M{number(x(value))} 4V{number(HEIGHT - 4)}", stroke=skin.met, stroke_width="3.2")
    return picture(
        line, band, *nought, mark, width=width, height=HEIGHT, alternative=alternative, skin=skin, class_="hl-spark"
    )


Range = tuple[float, float, float]
"""A low end, a value and a high end, as shares of 1."""


def two_ranges(
    first: Range | None, other: Range | None, alternative: str | None = None, *, width: float = 380, skin: Skin = SCREEN
) -> Markup:
    """Two values with their ranges below each other, from 0 to 1 with a line at each quarter: a dot and a square."""

    def x(share: float) -> float:
        return 8 + share * (width - 16)

    quarters = "".join(f"M{number(x(i / 4))} 2V34" for i in range(5))
    drawn = [path(quarters, stroke=skin.line)]
    for at, y, colour, mark in ((first, 11.0, skin.met, _dot), (other, 25.0, skin.stale, _square)):
        if at:
            drawn.append(path(f"M{number(x(at[0]))} {y}H{number(x(at[2]))}", stroke=colour, stroke_width="2.4"))
            drawn.append(mark(x(at[1]), y, skin))
    return picture(*drawn, width=width, height=36, alternative=alternative, skin=skin, class_="hl-spark")


def first_mark(skin: Skin = SCREEN) -> Markup:
    """The mark of the first of two ranges, beside its name."""
    return picture(_dot(7, 7, skin), width=14, height=14, alternative=None, skin=skin)


def other_mark(skin: Skin = SCREEN) -> Markup:
    """The mark of the other."""
    return picture(_square(7, 7, skin), width=14, height=14, alternative=None, skin=skin)


def _dot(x: float, y: float, skin: Skin) -> Markup:
    return circle(x, y, 5, fill=skin.met)


def _square(x: float, y: float, skin: Skin) -> Markup:
    return rect(x - 4.4, y - 4.4, 8.8, 8.8, fill=skin.card, stroke=skin.stale, stroke_width="2.4")


def bars(
    values: Sequence[float], alternative: str | None = None, *, width: float = WIDTH, skin: Skin = SCREEN
) -> Markup:
    """One bar for each week or day, the last in full colour."""
    most, tall = max(values, default=0) or 1, 30.0
    wide = min(width / len(values) - 2, 12) if values else 0
    drawn = []
    for i, value in enumerate(values):
        high = max(value / most * (tall - 2), 1)
        fill = skin.met if i == len(values) - 1 else skin.band
        drawn.append(rect(width - (len(values) - i) * (wide + 2), tall - high, wide, high, radius=1, fill=fill))
    return picture(*drawn, width=width, height=tall, alternative=alternative, skin=skin, class_="hl-spark")


def parts(
    shares: Sequence[float], alternative: str | None = None, *, width: float = WIDTH, skin: Skin = SCREEN
) -> Markup:
    """Shares of one whole side by side, the greatest should come first; told apart by shade and gaps."""
    whole, left = sum(shares) or 1, 0.0
    shades = (skin.met, skin.band, skin.edge, skin.few)
    drawn = []
    for i, share in enumerate(shares):
        wide = share / whole * width
        drawn.append(rect(left, 5, max(wide - 2, 0), HEIGHT - 10, fill=shades[i % len(shades)]))
        left += wide
    return picture(*drawn, width=width, height=HEIGHT, alternative=alternative, skin=skin, class_="hl-spark")


def _lines(points: Sequence[tuple[float, float, float]], width: float) -> Iterator[list[str]]:
    """The places of the lower ends, the rates and the upper ends, which fill the height from the least to the most."""
    least, most = min(low for low, _, _ in points), max(high for _, _, high in points)
    room = (most - least) or 1
    for rates in zip(*points, strict=True):
        yield [
            f"{number(3 + i / (len(points) - 1) * (width - 10))} {number(2 + (most - rate) / room * (HEIGHT - 4))}"
            for i, rate in enumerate(rates)
        ]


def small_trend(
    points: Sequence[tuple[float, float, float]],
    alternative: str | None = None,
    *,
    width: float = WIDTH,
    skin: Skin = SCREEN,
) -> Markup:
    """A line of rates (low, rate, high; shares of 1) with the band of their range, evenly along."""
    if len(points) < 2:
        return picture(width=width, height=HEIGHT, alternative=alternative, skin=skin, class_="hl-spark")
    below, line, above = _lines(points, width)
    x, y = (float(part) for part in line[-1].split())
    return picture(
        path("M" + "L".join(above + below[::-1]) + "Z", fill=skin.band),
        path("M" + "L".join(line), stroke=skin.met, stroke_width="2.2", stroke_linejoin="round"),
        circle(x, y, 3.4, fill=skin.met, stroke=skin.card),
        width=width,
        height=HEIGHT,
        alternative=alternative,
        skin=skin,
        class_="hl-spark",
    )
