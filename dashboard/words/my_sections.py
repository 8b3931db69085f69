"""What a player is told of the own training, section by section: the same on the screen and on paper."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from dashboard import questions
from dashboard.questions import Desk
from dashboard.rows.coach import BoardRow
from dashboard.words import figures
from dashboard.words import mine as wording_mine
from dashboard.words import plan as plan_words
from dashboard.words.figures import Figures

TOLD_BY = {"By spin": "spin_family", "By place of the feeder": "depth", "By tempo": "tempo_band"}
NEXT_TIME = 3


@dataclass(frozen=True)
class Passage:
    """Sentences that stand together: as points of a list, or each as a paragraph of its own."""

    sentences: Sequence[str]
    title: str | None = None
    are_points: bool = True


@dataclass(frozen=True)
class Section:
    """Sentences under one heading, with the figures in them."""

    title: str
    passages: Sequence[Passage]
    figures: tuple[Figures, ...]
    caveat: str | None = None


def my_sections(desk: Desk, week: date, me: BoardRow, on: date) -> list[Section]:
    """What I met, what I lack, what to ask for on a day, how success goes. `me`: the row of `questions.board`."""
    player = me.player_id
    sections = [*_met_and_lacking(desk, week, me), *_next_time(desk, player, on)]
    if me.standing in ("judged", "no_target"):
        sections.append(_success(desk, week, player))
    return sections


def _met_and_lacking(desk: Desk, week: date, me: BoardRow) -> Iterator[Section]:
    values = questions.coverage_by_value(desk, week, me.player_id)
    seen_from = questions.last_day(desk)
    met = wording_mine.what_i_met(me, values, questions.settings(desk), seen_from)
    yield Section("What I met", [Passage(met)], (figures.VARIETY,))
    if lacking := wording_mine.what_i_lack(me, values, seen_from):
        yield Section("What I lack", [Passage(lacking)], (figures.MY_COVERAGE_BY_VALUE,))


def _next_time(desk: Desk, player: str, on: date) -> Iterator[Section]:
    """Something to do about it."""
    gaps = questions.feed_next(desk, player, on, NEXT_TIME)
    if not gaps:
        return
    asked = Passage([wording_mine.ask_for(gap, on) for gap in gaps])
    needed = wording_mine.every_kind_counts(questions.settings(desk))
    old = plan_words.old_log(questions.last_day(desk), on)
    said = Passage([needed, old] if old else [needed], are_points=False)
    yield Section("Ask for these next time", [asked, said], (figures.GAPS,))


def _success(desk: Desk, week: date, player: str) -> Section:
    settings = questions.settings(desk)
    overall = questions.success(desk, week, player, "all")
    passages = [
        wording_mine.my_success(overall[0] if overall else None, settings),
        wording_mine.my_trend(questions.trend(desk, player), settings, questions.last_day(desk)),
    ]
    by_value = [
        Passage(wording_mine.how_it_goes(cut, questions.success(desk, week, player, cut)), title)
        for title, cut in TOLD_BY.items()
    ]
    parts = [Passage(passages, are_points=False), *(one for one in by_value if one.sentences)]
    return Section("How it goes", parts, (figures.SUCCESS, figures.TREND), wording_mine.NOT_YET_WINNING)
