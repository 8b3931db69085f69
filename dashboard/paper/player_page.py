"""The player's page on paper: what the own screen says, the weeks as bars, and what the figures mean."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from dashboard import questions
from dashboard.paper.my_drawings import my_drawings
from dashboard.paper.parts import Drawing, Heading, Meanings, Part, Points, Sentence, SideBySide
from dashboard.paper.sheets import NotOnPaper, Sheet, sheet
from dashboard.paper.weeks_drawing import MOST_WEEKS, Bar, weeks_drawn
from dashboard.questions import Desk
from dashboard.rows.coach import BoardRow
from dashboard.words import figures
from dashboard.words import mine as wording_mine
from dashboard.words import weeks as weeks_words
from dashboard.words.club import week_in_words
from dashboard.words.explaining import NO_BASIS, defined, settings_told
from dashboard.words.figures import Figures
from dashboard.words.my_balls import first_name
from dashboard.words.my_sections import Section, my_sections
from dashboard.words.own_balls import own_share
from ingest.club_day import today

EXPLAINED: tuple[Figures, ...] = (
    replace(figures.VARIETY, columns=("balls", "sessions", "cells", "cells_covered"), uses=("window_days",)),
    replace(figures.MY_COVERAGE_BY_VALUE, columns=("last_met_on", "met_anyhow_on"), uses=("covered_balls",)),
    replace(figures.GAPS, columns=("why",), uses=()),
    replace(figures.SUCCESS, columns=("good", *figures.RATE), uses=("rate_balls",)),
    replace(figures.TREND, columns=("change", "verdict"), uses=("judged_weeks", "trend_sessions", "trend_balls")),
)
"""Of the figures that the screen explains: those that stand on the page."""


def player_page(desk: Desk, player: str) -> Sheet:
    """The page of one active player, as of the latest week. Raises NotPermitted, NothingPublished, NotOnPaper."""
    questions.require_open(desk, player)
    weeks = questions.weeks(desk)
    board = questions.board(desk, weeks[0]) if weeks else ()
    me = next((row for row in board if row.player_id == player), None)
    if me is None:
        raise NotOnPaper("There is no active player of this code, or no log yet.")
    return sheet(desk, f"{me.name}: my training", "page.typ", list(_parts(desk, weeks[0], me)))


def _parts(desk: Desk, week: date, me: BoardRow) -> Iterator[Part]:
    yield Sentence(f"{week_in_words(week)}. {me.group_name or 'No group'}, code {me.player_id}.")
    yield from my_drawings(desk, week, me)
    for section in my_sections(desk, week, me, today()):
        yield from _section(section)
    yield from _weeks(desk, week, me.player_id)
    own = next((row for row in questions.own_balls(desk, week) if row.player_id == me.player_id), None)
    if told := own_share(own, first_name(me.name)):
        yield Sentence(told, is_small=True)
    yield Sentence(wording_mine.NOT_MATCHES)
    yield Heading("What the figures mean")
    yield Meanings(_meanings(desk))


def _section(section: Section) -> Iterator[Part]:
    yield Heading(section.title)
    for passage in section.passages:
        if not passage.title:
            yield from [Points(passage.sentences)] if passage.are_points else map(Sentence, passage.sentences)
    titled = [(passage.title, passage.sentences) for passage in section.passages if passage.title]
    if titled:
        yield SideBySide(titled)
    if section.caveat:
        yield Sentence(section.caveat, is_small=True)


def _weeks(desk: Desk, week: date, player: str) -> Iterator[Part]:
    weeks = questions.player_weeks(desk, week, player)[-MOST_WEEKS:]
    if not weeks:
        return
    bars = [Bar(row.week, row.balls if row.sessions else None, is_chosen=row.week == week) for row in weeks]
    yield Heading("My weeks")
    yield Drawing(
        weeks_drawn(bars),
        weeks_words.weeks_alt("Balls", weeks, questions.last_day(desk)),
        "Balls of each week, by its Monday. A cross: no log, which says nothing about whether there was training.",
    )


def _meanings(desk: Desk) -> list[tuple[str, str]]:
    settings = questions.settings(desk)
    meanings = [meaning for one in EXPLAINED for meaning in defined(questions.meaning(desk, one.table), one.columns)]
    meanings += [
        (f"Setting {name}", meaning) for one in EXPLAINED for name, meaning in settings_told(settings, one.uses)
    ]
    return [*meanings, ("Settings", NO_BASIS)]
