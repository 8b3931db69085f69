"""The points of a player's trend and the sessions around it, for the drawing on a screen and on paper."""

from datetime import date

from dashboard import questions
from dashboard.drawings.trend import TrendPoint
from dashboard.questions import Desk

WEEKS_SHOWN = 26


def trend_points(desk: Desk, week: date, player: str) -> tuple[list[TrendPoint], list[tuple[date, float]]]:
    """The windows of the weeks up to one, and their sessions."""
    windows = questions.success_by_week(desk, week, player)[-WEEKS_SHOWN:]
    points = [
        TrendPoint(row.week, row.rate, row.low, row.high)
        for row in windows
        if row.rate is not None and row.low is not None and row.high is not None
    ]
    first = windows[0].week if windows else week
    dots = [
        (one.session_date, one.rate)
        for one in questions.player_sessions(desk, week, player)
        if one.rate is not None and one.session_date >= first
    ]
    return points, dots
