"""A drill of a plan as the drawing of its ball: from where its setup stands, to where its words say."""

from dashboard.drawings.ball_drawing import Way, ball_drawing, way_of
from dashboard.drawings.balls import Ball
from dashboard.drawings.markup import Markup
from dashboard.drawings.signs import Hand
from dashboard.drawings.skins import SCREEN, Skin
from models.planned import Drill
from models.stance import Place


def drill_drawing(
    drill: Drill,
    width: float,
    hand: Hand,
    *,
    lands: Place | None = None,
    skin: Skin = SCREEN,
    alternative: str | None = None,
) -> Markup:
    """The drawing; `lands` where the ball is calculated to land, else where its words are drawn."""
    ball = Ball.of(drill.words)
    usual = way_of(ball, hand)
    way = Way(drill.stand.place, lands or usual.landing, usual.second_x_cm)
    return ball_drawing(ball, width, hand=hand, way=way, skin=skin, alternative=alternative)
