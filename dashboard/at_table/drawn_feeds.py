"""The balls of a block as drawings: the feeder where its setup stands, everything else by the ball's words."""

from collections.abc import Mapping, Sequence
from typing import cast

from dashboard import questions
from dashboard.drawings.ball_drawing import ball_drawing, way_of
from dashboard.drawings.balls import DIMENSIONS, Ball
from dashboard.drawings.markup import Markup
from dashboard.drawings.signs import Hand
from dashboard.questions import Desk
from dashboard.rows.feeding import MetSetupRow
from models.settings import Settings
from models.stance import Place
from models.tap_events import ASKED_WORDS
from models.worth import band_of

WIDTH = 76.0
LEAST_X_CM, MOST_Y_CM = -20.0, 78.0
"""A feeder that stands further off is drawn at the edge."""

Feed = Mapping[str, str | float | None]


def drawn_feeds(desk: Desk, player: str, feeds: Sequence[Feed]) -> list[Markup]:
    """One drawing for each; their words stand beside them. Raises NotPermitted, NothingPublished."""
    setups = {setup.setup_id: setup for setup in questions.setups_met_by(desk, player)}
    hands = {row.player_id: row.handedness for row in questions.players(desk)}
    hand: Hand = hands.get(player, "right")
    settings = questions.settings(desk)
    return [drawn_feed(feed, setups.get(str(feed.get("setup"))), hand, settings) for feed in feeds]


def drawn_feed(feed: Feed, setup: MetSetupRow | None, hand: Hand, settings: Settings) -> Markup:
    """One ball of the log's words, from where its setup stands; without a setup, from the back."""
    stands = None
    if setup is not None:
        stands = Place(max(setup.x_cm, LEAST_X_CM), min(max(setup.y_cm, -MOST_Y_CM), MOST_Y_CM))
    ball = _ball(feed, settings)
    return ball_drawing(ball, WIDTH, hand=hand, way=way_of(ball, hand, stands), alternative=None)


def _ball(feed: Feed, settings: Settings) -> Ball:
    words = {
        column.name: word
        for column in ASKED_WORDS
        if column.name in DIMENSIONS and (word := feed.get(column.name)) in column.shape.words.names
    }
    bpm = feed.get("tempo_bpm")
    tempo = {"tempo_band": band_of(bpm, settings)} if isinstance(bpm, int | float) else {}
    return Ball.of(cast(Mapping[str, str | None], words | tempo))
