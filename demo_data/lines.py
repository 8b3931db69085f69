"""The log lines of the season: each session either counted per feed or written down ball by ball."""

from collections import Counter
from collections.abc import Iterator
from functools import cache
from typing import Any

from demo_data import stories
from demo_data.dates import week_of
from demo_data.dice import dice
from demo_data.people import hall_of
from demo_data.season import Block, TrainingSession, play_season
from models.records import BallLine, SessionLine

BALL_WEEKS = (23, 24, 26, 27, 29, 34, 35, 37, 38, 40, 41, 43, 44, 45, 46, 47)
"""The weeks in which somebody wrote down every ball on the Wednesday."""

_WEDNESDAY = 2
_TAKE_TURNS = ("DAPE", "LUWE", "NASI", "BECA", "SURO")

_NOTES = (
    "new balls from block 2",
    "tired after school",
    "short on time; last block cut",
    "good legs today, early on the ball",
    "wants more half-long balls",
    "says the wide ball comes too fast, asked for a slower one",
    "café first, training after",
)


@cache
def clean_lines() -> tuple[SessionLine | BallLine, ...]:
    """Every line of the season before anybody made a mistake."""
    return tuple(line for session in play_season() for line in lines_of(session))


def lines_of(session: TrainingSession) -> list[SessionLine | BallLine]:
    """The lines of one session, in the form in which it was logged, with a note on the first where there is one."""
    write = _single_balls if is_ball_by_ball(session) else _counted_feeds
    lines = [line for number, block in enumerate(session.blocks, 1) for line in write(session, number, block)]
    chance = dice(session.player.player, session.day, session.label, "note")
    if chance.random() < 0.06:
        lines[0] = lines[0].model_copy(update={"note": chance.choice(_NOTES)})
    return lines


def is_ball_by_ball(session: TrainingSession) -> bool:
    """Told by the day: the one whose changes are watched, every time, and two others who take turns."""
    if week_of(session.day) not in BALL_WEEKS or session.day.weekday() != _WEDNESDAY:
        return False
    turn = BALL_WEEKS.index(week_of(session.day))
    others = [_TAKE_TURNS[(turn + step) % len(_TAKE_TURNS)] for step in (0, 2)]
    return session.player.player in (stories.FALLS_AT_CHANGES.player, *others)


def _counted_feeds(session: TrainingSession, number: int, block: Block) -> Iterator[SessionLine]:
    for place in range(1, len(block.feeds) + 1):
        outcomes = Counter(ball.outcome for ball in block.balls if ball.feed == place)
        misses = {miss: outcomes[miss] for miss in ("net", "long", "wide", "missed")}
        counts = {"balls": outcomes.total(), "good": outcomes["good"]} | (misses if session.misses_are_counted else {})
        yield SessionLine.model_validate(_fed(session, number, block, place) | counts)


def _single_balls(session: TrainingSession, number: int, block: Block) -> Iterator[BallLine]:
    for place, ball in enumerate(block.balls, 1):
        what = {"ball": place, "outcome": ball.outcome}
        yield BallLine.model_validate(_fed(session, number, block, ball.feed) | what)


def _fed(session: TrainingSession, number: int, block: Block, place: int) -> dict[str, Any]:
    """The columns that both kinds of line share."""
    feed = block.feeds[place - 1]
    return {
        "session_date": session.day,
        "session": session.label,
        "player": session.player.player,
        "coach": hall_of(session.player).coach,
        "block": number,
        "order": block.drill.order,
        "feed": place,
        "setup": block.drill.setup,
        "spin": feed.spin,
        "sidespin": feed.sidespin,
        "length": feed.length,
        "placement": feed.placement,
        "height": feed.height,
        "tempo_bpm": block.drill.tempo_bpm,
        "stroke": feed.stroke,
        "minutes": _minutes(block) if session.minutes_are_noted else None,
        "effort": session.effort,
    }


def _minutes(block: Block) -> float:
    """The balls at their tempo, and a minute to pick them up; to the half minute."""
    return round(2 * (1 + len(block.balls) / (block.drill.tempo_bpm or 30))) / 2
