"""The tables under the advice for a moved feeder: the ways to play the ball, and its times."""

from collections.abc import Sequence

from dashboard.drawings.markup import Markup, element
from dashboard.rows.feeding import FeedRow
from dashboard.tables import marks
from dashboard.words.phrases import label, phrase
from dashboard.words.setup_dial import UNITS
from dashboard.words.setup_figures import Figure
from dashboard.words.setup_moved import WAYS, advised, faster, number, off, tilted
from models.dial import DialLine
from models.estimates import Estimate, Span, ranges_over_sets, values_over_sets
from models.moved_ball import Moved, Times, Way

_WORDS = ("spin", "sidespin", "length", "placement", "height")

_MOMENTS = {
    "To the net": "net_s",
    "To the bounce": "bounce_s",
    "To the top of its bounce": "top_s",
    "To the player's plane": "plane_s",
    "To the second bounce": "second_s",
}


def figures(all_of_them: Sequence[Figure]) -> Markup:
    """The figures of an aimed ball side by side."""
    each = (
        element("div", element("span", figure.name), element("b", figure.value), element("span", figure.more))
        for figure in all_of_them
    )
    return element("div", *each, class_="hl-figures")


def ways(moved: Moved) -> Markup:
    """Each way to play the ball from the new place: speed, tilt, gap over the net, landing."""
    head = _head("Way", "Speed", "Tilt of the head", "Over the net", "Lands")
    rows = [_way(title, getattr(moved, name)) for name, title in WAYS.items()]
    return marks.table(element("thead", head), element("tbody", *rows), label="Ways to play the ball from there")


def times(moved: Moved) -> Markup:
    """When the ball is where, before the move and as advised after it."""
    found = advised(moved)
    columns = [("Before", moved.before.times), *([("Now, as advised", found[1].times)] if found else [])]
    rows = [
        element("tr", _name(title), *(element("td", _time(each, moment)) for _, each in columns))
        for title, moment in _MOMENTS.items()
    ]
    head = _head("Time from the release", *(name for name, _ in columns))
    return marks.table(element("thead", head), element("tbody", *rows), label="Times of the ball")


def feeds(rows: Sequence[FeedRow]) -> Markup:
    """Kinds of ball that the log has from a setup: their times, and the length by the physics against the log's."""
    head = _head("Ball, as logged", "To the bounce", "To contact", "Length by the physics")
    return marks.table(
        element("thead", head), element("tbody", *map(_feed, rows)), label="Balls that the log has from here"
    )


def _feed(row: FeedRow) -> Markup:
    words = (phrase(name, word) for name in _WORDS if (word := getattr(row, name)) is not None)
    times = (_seconds(row.bounce_low_s, row.bounce_high_s), _seconds(row.time_low_s, row.time_high_s))
    return element("tr", _name(", ".join(words)), *(element("td", time) for time in times), _length(row))


def _length(row: FeedRow) -> Markup:
    by_physics = label(row.length_by_physics or "not told")
    match row.length_verdict:
        case "doubtful":
            return element("td", f"⚠ doubtful: {by_physics}", class_="stale")
        case "possible":
            return element("td", f"{label(row.length)} by some calculations")
    return element("td", f"✓ {by_physics}")


def _seconds(low: float | None, high: float | None) -> str:
    return "–" if low is None or high is None else number(Span(low, high), "s", 2)


def marks_of_dial(dial: str, lines: Sequence[DialLine]) -> Markup:
    """What the lowest, the middle and the highest noted mark give, by all sets of coefficients, with their ranges."""
    rows = [_mark(mark, dial, [line.at(mark) for line in lines]) for mark in lines[0].marks]
    head = _head(f"Mark of the {dial} dial", "Gives", "Range")
    return marks.table(element("thead", head), element("tbody", *rows), label=f"What the {dial} dial gives")


def _mark(mark: float, dial: str, found: Sequence[Estimate]) -> Markup:
    cells = (number(each, *UNITS[dial]) for each in (values_over_sets(found), ranges_over_sets(found)))
    return element("tr", _name(f"{mark:g}"), *(element("td", cell) for cell in cells))


def _way(title: str, way: Way) -> Markup:
    if not way.sets:
        return element("tr", _name(title), element("td", "no such ball from there", colspan=4))
    net = f"✕ into the net ({number(way.clearance_cm, 'cm')})" if way.clips else number(way.clearance_cm, "cm")
    lands = "–" if way.clips or way.too_far_cm is None else off(way.too_far_cm)
    cells = (faster(way.speed_percent), tilted(way), net, lands)
    return element("tr", _name(title), *(element("td", cell) for cell in cells))


def _time(times: Times, moment: str) -> str:
    span = getattr(times, moment)
    return "not reached" if span is None else number(span, "s", 2)


def _head(*names: str) -> Markup:
    first, *others = names
    return element(
        "tr", element("th", first, scope="col", class_="left"), *(element("th", o, scope="col") for o in others)
    )


def _name(title: str) -> Markup:
    return element("th", title, scope="row", class_="why")
