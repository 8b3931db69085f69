"""A player on one screen: the map with what comes next, three balls to feed, and one line for each question."""

from collections.abc import Callable, Mapping
from datetime import date

import streamlit as st

from dashboard import questions
from dashboard.drawings import sparks
from dashboard.drawings.ball_drawing import ball_drawing, two_lines, way_of
from dashboard.drawings.ball_map_frame import Look
from dashboard.drawings.balls import Ball, met_of
from dashboard.drawings.cells import legend
from dashboard.drawings.markup import Markup, element
from dashboard.questions import Desk
from dashboard.rows.coach import BoardRow, GapRow
from dashboard.rows.player import ErrorRow
from dashboard.views.drawn import hand_of, map_for_both, show
from dashboard.words import player_lines
from dashboard.words.my_balls import first_name
from dashboard.words.player_lines import Line
from ingest.club_day import today
from models.stance import yaw_deg

MAP_WIDE = 560
FED_NEXT = 3
WEEKS_DRAWN = 12

Drawn = tuple[Line, Markup]


def ball_map_card(desk: Desk, week: date, me: BoardRow, gaps: tuple[GapRow, ...]) -> None:
    """Which balls were met, with the next ones marked."""
    next_balls = tuple(Ball.of(gap.words) for gap in gaps)
    with st.container(key="hl-card-map"):
        st.subheader("Which balls were met")
        show(questions.kept(desk, _map, week, me, next_balls))
        show(legend())


def _map(desk: Desk, week: date, me: BoardRow, next_balls: tuple[Ball, ...]) -> Markup:
    cells = [met_of(row) for row in questions.coverage(desk, week, me.player_id)]
    look = Look(hand=hand_of(me), next_balls=next_balls, player=first_name(me.name))
    return map_for_both(cells, look, MAP_WIDE)


def feed_next_card(desk: Desk, me: BoardRow, gaps: tuple[GapRow, ...]) -> None:
    """The next balls as drawings."""
    with st.container(key="hl-card-feed"):
        st.subheader("What to feed next")
        if not gaps:
            st.markdown("Nothing is lacking: every wanted combination is covered and none is clearly weak.")
            return
        show(element("div", *(_next_ball(desk, me, i, gap) for i, gap in enumerate(gaps, start=1)), class_="hl-three"))
        st.page_link(
            "views/next_session.py", label="Plan the next session with these", query_params={"player": me.player_id}
        )


def _next_ball(desk: Desk, me: BoardRow, order: int, gap: GapRow) -> Markup:
    ball = Ball.of(gap.words)
    what, way = two_lines(ball)
    why = player_lines.why_next(gap, questions.settings(desk), today())
    number = element("i", str(order), class_="hl-number")
    flight = way_of(ball, hand_of(me))
    turned = player_lines.head_turned(yaw_deg(flight.feeder, flight.landing))
    lines = (element("span", way), element("span", turned), element("span", why, class_="hl-quiet"))
    words = element("div", element("b", number, what), *lines)
    return element("div", ball_drawing(ball, 78, hand=hand_of(me), alternative=None), words, class_="hl-ball-row")


def lines_card(desk: Desk, week: date, me: BoardRow, opens: Callable[[str], None]) -> None:
    """One line for each question; each opens what stands behind it."""
    with st.container(key="hl-card-lines"):
        for name, (line, picture) in questions.kept(desk, _lines, week, me).items():
            with st.container(key=f"hl-line-{name}", horizontal=True, vertical_alignment="center"):
                show(_answer(line, picture))
                if st.button(line.asked, key=f"open-{name}", type="tertiary"):
                    opens(name)


def _lines(desk: Desk, week: date, me: BoardRow) -> Mapping[str, Drawn]:
    player = me.player_id
    return {
        "variety": _variety(me),
        "success": _success(desk, week, player),
        "trend": _trend(desk, week, player),
        "change": _change(desk, player),
        "mistakes": _mistakes(questions.errors(desk, week, player)),
        "load": _load(desk, week, player),
    }


def _answer(line: Line, picture: Markup) -> Markup:
    quiet = {"class_": "hl-quiet"}
    words = element(
        "div", element("span", line.asked, **quiet), element("b", line.answer), element("span", line.rests_on, **quiet)
    )
    return element("div", words, picture, class_="hl-answer")


def _variety(me: BoardRow) -> Drawn:
    return player_lines.variety(me), sparks.steps(me.cells_covered or 0, me.cells or 0)


def _success(desk: Desk, week: date, player: str) -> Drawn:
    mix = next(iter(questions.standard_success(desk, week, player)), None)
    rate = mix.success if mix else None
    return player_lines.success(mix), sparks.range_bar(rate.low, rate.value, rate.high) if rate else Markup()


def _trend(desk: Desk, week: date, player: str) -> Drawn:
    windows = [row for row in questions.success_by_week(desk, week, player) if row.rate is not None]
    points = [(row.low or 0.0, row.rate or 0.0, row.high or 0.0) for row in windows[-2 * WEEKS_DRAWN :]]
    line = player_lines.trend(questions.trend(desk, player), questions.last_day(desk))
    return line, sparks.small_trend(points) if len(points) > 1 else Markup()


def _change(desk: Desk, player: str) -> Drawn:
    row = questions.variety_cost(desk, player)
    lost = row.lost if row else None
    picture = sparks.range_bar(-lost.high, -lost.value, -lost.low, ends=(-0.5, 0.5)) if lost else Markup()
    return player_lines.change_of_ball(row), picture


def _mistakes(rows: tuple[ErrorRow, ...]) -> Drawn:
    balls = {row.outcome: row.outcome_balls for row in rows}
    return player_lines.mistakes(rows), sparks.parts(sorted(balls.values(), reverse=True)) if balls else Markup()


def _load(desk: Desk, week: date, player: str) -> Drawn:
    weeks = questions.player_weeks(desk, week, player)
    picture = sparks.bars([float(row.balls or 0) for row in weeks[-WEEKS_DRAWN:]]) if weeks else Markup()
    return player_lines.load(weeks), picture
