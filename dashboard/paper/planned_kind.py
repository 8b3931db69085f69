"""A kind of ball that is planned, on paper: its drawing, its words, and how to set the feeder for it."""

from typing import Any

from dashboard.drawings.ball_drawing import Way, ball_drawing, each_sign, two_lines, way_of
from dashboard.drawings.balls import Ball
from dashboard.drawings.skins import PAPER
from dashboard.questions import Desk
from dashboard.rows.feeding import SetupRow
from dashboard.services import plans
from dashboard.words.phrases import label
from dashboard.words.plan_setup import facts
from models.block_setup import BlockSetup, block_setup
from models.bounds import OutOfBounds
from models.kept_plan import KeptKind, words_of
from models.settings import Settings
from models.stance import Handedness, Place
from models.worth import Words

DRAWN_WIDTH = 96.0


def kind_on_paper(
    desk: Desk, kind: KeptKind, feeder: SetupRow | None, hand: Handedness, settings: Settings
) -> dict[str, Any]:
    """A ball that is planned, as the templates take it; `feeder`: where it stands; None: not known."""
    words = words_of(kind, settings)
    ball = Ball.of(words)
    first, second = two_lines(ball)
    setup = _setup(desk, words, feeder, hand)
    usual = way_of(ball, hand)
    way = Way(Place(feeder.x_cm, feeder.y_cm), setup.lands, usual.second_x_cm) if feeder and setup else usual
    tempo_bpm = kind.feed.get("tempo_bpm")
    more = [second] if second else []
    more += [f"{tempo_bpm:g} a minute"] if tempo_bpm else []
    more += [f"{label(str(kind.feed['stroke']))}"] if kind.feed.get("stroke") else []
    return {
        "letter": "",
        "first": first,
        "more": ", ".join(more),
        "balls": kind.balls,
        "drawing": ball_drawing(ball, DRAWN_WIDTH, hand=hand, way=way, skin=PAPER, alternative=None),
        "alternative": f"{ball.in_words()}, on the table from above",
        "signs": each_sign(ball, hand=hand, skin=PAPER),
        "facts": facts(setup) if setup else [("Set the feeder", "with check balls")],
    }


def _setup(desk: Desk, words: Words, feeder: SetupRow | None, hand: Handedness) -> BlockSetup | None:
    if feeder is None:
        return None
    try:
        return block_setup(feeder.feeder_setup, words, hand, plans.dials_of(desk, feeder.feeder_setup))
    except OutOfBounds:
        return None
