"""What stands above the words of a player's page: the map, the trend, the balls to ask for, what is planned."""

from collections.abc import Iterator
from datetime import date

from dashboard import questions
from dashboard.drawings.ball_drawing import ball_drawing, two_lines
from dashboard.drawings.ball_map import ball_map, map_in_words
from dashboard.drawings.ball_map_frame import Look
from dashboard.drawings.balls import PLAYER_WORDS, STATES, Ball, met_of
from dashboard.drawings.cells import state_sign
from dashboard.drawings.signs import Hand
from dashboard.drawings.skins import PAPER
from dashboard.drawings.trend import trend, trend_in_words
from dashboard.paper.parts import Drawing, Drawings, Heading, Legend, Part, Points, Sentence
from dashboard.questions import Desk
from dashboard.rows.coach import BoardRow, GapRow
from dashboard.services import plans
from dashboard.tables.trend_points import trend_points
from dashboard.words import my_balls
from dashboard.words import plan as plan_words
from dashboard.words.phrases import combination
from ingest.club_day import today

MAP_PX, TREND_PX, TREND_TALL_PX, BALL_PX = 420, 340, 250, 96
BALL_WIDTH = 0.48
"""Of the room for one of three."""
NEXT_TIME = 3


def my_drawings(desk: Desk, week: date, me: BoardRow) -> Iterator[Part]:
    """The drawings of one active player, as of a week."""
    hand: Hand = "left" if me.handedness == "left" else "right"
    gaps = questions.feed_next(desk, me.player_id, today(), NEXT_TIME)
    drawn = [*_map(desk, week, me, gaps, hand), *_trend(desk, week, me)]
    if drawn:
        yield Drawings(drawn, [MAP_PX, TREND_PX])
    if me.cells:
        yield Legend([(state_sign(state, skin=PAPER), PLAYER_WORDS[state]) for state in STATES])
        yield Sentence(
            my_balls.what_is_new(questions.new_balls(desk, week, me.player_id), me, questions.settings(desk), None)
        )
    if gaps:
        yield Heading("Ask for this next")
        yield Drawings([_ball(place, gap, hand) for place, gap in enumerate(gaps, 1)], [1] * NEXT_TIME)
    yield from _planned(desk, me.player_id)


def _map(desk: Desk, week: date, me: BoardRow, gaps: tuple[GapRow, ...], hand: Hand) -> Iterator[Drawing]:
    cells = [met_of(row) for row in questions.coverage(desk, week, me.player_id)]
    if not cells:
        return
    marked = [Ball.of(gap.words) for gap in gaps]
    look = Look(hand=hand, next_balls=marked, words=PLAYER_WORDS, is_still=True, skin=PAPER)
    title = f"Balls met: {me.cells_covered} of {me.cells}"
    yield Drawing(ball_map(cells, MAP_PX, look), map_in_words(cells, look, "Balls met"), title)


def _trend(desk: Desk, week: date, me: BoardRow) -> Iterator[Drawing]:
    points, sessions = trend_points(desk, week, me.player_id)
    if not points:
        return
    drawn = trend(points, sessions, width=TREND_PX, height=TREND_TALL_PX, skin=PAPER)
    yield Drawing(
        drawn, trend_in_words(points, sessions), "How many of 100 balls land, with the range; circles: sessions"
    )


def _ball(place: int, gap: GapRow, hand: Hand) -> Drawing:
    ball = Ball.of(gap.words)
    first, second = two_lines(ball)
    drawn = ball_drawing(ball, BALL_PX, hand=hand, skin=PAPER, alternative=None)
    return Drawing(
        drawn, combination(gap.words), f"{place}. {first}, {second}. {my_balls.how_full(gap, None)}", BALL_WIDTH
    )


def _planned(desk: Desk, player: str) -> Iterator[Part]:
    plan = plans.next_kept(desk, player, today())
    if plan is None:
        return
    setups = {setup.setup_id: setup.name for setup in questions.setups_met_by(desk, player)}
    yield Heading("Planned for the next session")
    yield Sentence(plan_words.kept_head(plan, today()))
    yield Points(list(plan_words.kept_lines(plan, setups)))
