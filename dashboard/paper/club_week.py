"""The club's week on paper: are the logs in, and sound? What the coordinator's screen says of one week."""

from collections.abc import Iterator, Sequence
from datetime import date

from dashboard import questions
from dashboard.paper.parts import Drawing, Drawings, Heading, Meanings, Numbers, Part, Points, Sentence, Table
from dashboard.paper.sheets import NotOnPaper, Sheet, sheet
from dashboard.paper.week_picture import week_legend, week_on_paper
from dashboard.paper.weeks_drawing import MOST_WEEKS, THIRD, Bar, weeks_drawn
from dashboard.questions import Desk
from dashboard.rows.club import ClubWeekRow, WithoutLogRow
from dashboard.tables.refused_lines import SHOWN_LINES, RefusedFile, refused_files, refused_places
from dashboard.words import club as wording_club
from dashboard.words.explaining import defined
from dashboard.words.own_balls import own_in_week


def club_week(desk: Desk, monday: date) -> Sheet:
    """The page of the week from this Monday. Raises NotPermitted, NothingPublished, NotOnPaper."""
    missing = questions.without_log(desk, monday)
    weeks = questions.club_weeks(desk)
    row = next((row for row in weeks if row.week == monday), None)
    if row is None:
        raise NotOnPaper(f"The log has no week from Monday {monday}.")
    title = f"The club's week {monday:%V} of {monday:%G}"
    return sheet(desk, title, "page.typ", list(_parts(desk, weeks, row, missing)))


def _parts(
    desk: Desk, weeks: Sequence[ClubWeekRow], row: ClubWeekRow, missing: Sequence[WithoutLogRow]
) -> Iterator[Part]:
    yield Sentence(f"{wording_club.week_in_words(row.week)}.")
    yield _numbers((*wording_club.deciding(row), *wording_club.in_figures(row)))
    if wording_club.is_sound(row):
        yield Sentence(wording_club.SOUND)
    if told := own_in_week(questions.waiting_blocks(desk), row.week):
        yield Sentence(told, is_small=True)
    refused = questions.refused_in_week(desk, row.week)
    if players := questions.player_days(desk, row.week):
        yield Heading("Who trained when")
        yield week_legend()
        yield week_on_paper(players, questions.group_days(desk, row.week), refused_places(refused))
    yield from _without_log(missing)
    yield from _refused(refused_files(refused))
    yield Heading("Week by week")
    yield Drawings([_drawing(weeks, row.week, measure) for measure in wording_club.MEASURES], [1, 1, 1])
    yield Heading("What the figures mean")
    yield Meanings(_meanings(desk, row))


def _numbers(figures: tuple[wording_club.Figure, ...]) -> Numbers:
    return Numbers([(figure.title, figure.value) for figure in figures])


def _without_log(missing: Sequence[WithoutLogRow]) -> Iterator[Part]:
    if not missing:
        return
    yield Heading("No log this week")
    yield Table(
        ("Player", "Group", "Last log before"),
        [(one.name, one.group_name or "no group", f"{one.last_logged_on or 'none'}") for one in missing],
    )
    yield Sentence(wording_club.MISSING_IS_NOT_REST, is_small=True)


def _refused(files: list[RefusedFile]) -> Iterator[Part]:
    yield Heading("Lines still refused")
    if not files:
        yield Sentence(wording_club.NOTHING_REFUSED)
    for file in files:
        yield Points([fault.sentence for line in file.lines[:SHOWN_LINES] for fault in line.faults], are_small=True)
        if len(file.lines) > SHOWN_LINES:
            yield Sentence(f"The first {SHOWN_LINES} of {len(file.lines)} refused lines.", is_small=True)


def _drawing(weeks: Sequence[ClubWeekRow], chosen: date, measure: tuple[str, str]) -> Drawing:
    column, title = measure
    shown = [row for row in weeks if row.week <= chosen][:MOST_WEEKS]
    bars = [Bar(row.week, getattr(row, column), is_chosen=row.week == chosen) for row in shown]
    return Drawing(weeks_drawn(bars[::-1], THIRD), wording_club.in_words(shown, chosen, measure), f"{title}, by week")


def _meanings(desk: Desk, row: ClubWeekRow) -> list[tuple[str, str]]:
    figures = (*wording_club.deciding(row), *wording_club.in_figures(row))
    columns = tuple(column for figure in figures for column in figure.columns)
    return defined(questions.meaning(desk, "report.club_week"), columns)
