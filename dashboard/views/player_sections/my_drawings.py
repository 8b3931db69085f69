"""The drawings of the player's own page, made once for a publication."""

from datetime import date

from dashboard import questions
from dashboard.drawings.ball_map_frame import Look
from dashboard.drawings.balls import PLAYER_WORDS, Ball, met_of
from dashboard.drawings.markup import Markup, joined
from dashboard.drawings.trend import trend
from dashboard.questions import Desk
from dashboard.rows.coach import BoardRow
from dashboard.tables.trend_points import trend_points
from dashboard.views.drawn import for_both, hand_of, map_for_both

MAP_WIDE, TREND_WIDE = 600, 520
"""Pixels of the drawings on a desk, beside each other."""


def my_map(desk: Desk, week: date, me: BoardRow, next_balls: tuple[Ball, ...], called: str) -> Markup:
    """Which balls were met; nothing where none are wanted. `called`: the player, as whoever looks calls them."""
    cells = [met_of(row) for row in questions.coverage(desk, week, me.player_id)]
    if not cells:
        return Markup()
    look = Look(hand=hand_of(me), next_balls=next_balls, words=PLAYER_WORDS, player=called)
    return map_for_both(cells, look, MAP_WIDE, "Balls met")


def my_trend(desk: Desk, week: date, player: str) -> Markup:
    """Success over the weeks."""
    points, dots = trend_points(desk, week, player)
    return joined(*for_both(lambda width: trend(points, dots, width=width, height=190), TREND_WIDE))
