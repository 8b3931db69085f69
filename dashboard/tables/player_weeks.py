"""The weeks of a player in figures: what the charts of the weeks draw."""

from collections.abc import Sequence
from datetime import date

from dashboard.drawings.markup import Markup, element
from dashboard.rows.player import WeekRow, WindowRow
from dashboard.tables import marks
from dashboard.words.phrases import day, in_100, range_in_100
from dashboard.words.weeks import NO_LOG

NOT_NOTED = "not noted"


def weeks_in_figures(weeks: Sequence[WeekRow], windows: Sequence[WindowRow], seen_from: date) -> Markup:
    """The latest week first: what was logged in it, and the success of the window that ends with it."""
    rates = {window.week: window for window in windows}
    rows = (element("tr", *_cells(week, rates.get(week.week), seen_from)) for week in reversed(weeks))
    head = marks.column_titles(("Week from", "Balls", "Minutes", "Landed, with the range"))
    return marks.table(head, element("tbody", *rows), label="The weeks in figures")


def _cells(week: WeekRow, window: WindowRow | None, seen_from: date) -> tuple[Markup, ...]:
    balls = NO_LOG if week.sessions == 0 else f"{week.balls:,}"
    minutes = NO_LOG if week.sessions == 0 else NOT_NOTED if week.minutes is None else f"{week.minutes:,.0f}"
    return (
        element("th", day(week.week, seen_from), scope="row", class_="left"),
        element("td", balls, class_="number"),
        element("td", minutes, class_="number"),
        element("td", _landed(window), class_="number"),
    )


def _landed(window: WindowRow | None) -> str:
    if window is None or window.rate is None or window.low is None or window.high is None:
        return "too few balls"
    return f"{in_100(window.rate)} ({range_in_100(window.low, window.high)}), of {window.balls:,}"
