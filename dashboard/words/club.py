"""What is said of the club's week, on the screen and on paper: are the logs in, and sound?"""

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from dashboard.rows.club import ClubWeekRow, PlayerDayRow
from dashboard.words.phrases import balls, listed, sessions

INVENTED = "Invented demo club: the people, the places and the numbers are made up."
SOUND = "The week is in, and sound: every active player has a log, and no line is refused."
MISSING_IS_NOT_REST = (
    "Ill, away, or a sheet that never reached you? A week without a log is not a week without training."
)
NOTHING_REFUSED = "All lines of this week are in order."
TO_MEND = (
    "Correct them here; or take the file to mend, correct its lines (the last column of each says why it was refused), "
    "and bring it in again. Either way the corrected lines take their places."
)

LOGS = ("players_with_log", "Players with a log")
BALLS = ("balls", "Balls fed")
REFUSED = ("lines_refused", "Lines still refused")
MEASURES = (LOGS, REFUSED, BALLS)
"""The columns of report.club_week that are shown week by week, with their titles."""


IN_THE_PICTURE = ("log is in", "no log of the day", "line to correct", "no log this week")
"""What the signs in the picture of a week mean."""

NOBODY_ON_THE_LIST = "Nobody on the list"
"""Of refused lines that name no player of the club."""

MOST_NAMED = 3


class Figure(NamedTuple):
    """A figure of the week as it is told, with the columns of report.club_week that define it."""

    title: str
    value: str
    columns: tuple[str, ...]


def week_in_words(week: date) -> str:
    """A week as people name it."""
    return f"Week {week:%V}, from Monday {week.day} {week:%B %Y}"


def lines_named(numbers: Iterable[int]) -> str:
    """Which lines of a file: line 23; lines 23, 24 and 31."""
    *first, last = map(str, numbers)
    return f"lines {', '.join(first)} and {last}" if first else f"line {last}"


def figures_up_to(cut_off: date) -> str:
    """Up to which day the figures go."""
    return f"Figures up to {cut_off:%d %B %Y}, the last day in the log."


def deciding(row: ClubWeekRow) -> tuple[Figure, ...]:
    """The two figures that decide whether the week is in, and sound."""
    logs_in = f"{row.players_with_log} of {row.players_active}"
    return (
        Figure("Players whose log is in", logs_in, ("players_with_log", "players_active")),
        Figure("Lines still refused", f"{row.lines_refused}", ("lines_refused",)),
    )


def behind(day: date, latest: date) -> str:
    """That the week of the day has no log yet."""
    return f"Today is in week {day:%V}, of which no log is in yet. The latest week with a log is week {latest:%V}."


def missing_named(names: Sequence[str]) -> str:
    """Who has no log yet; of many the first few."""
    if not names:
        return "everybody's"
    more = len(names) - MOST_NAMED
    named = [*names[:MOST_NAMED], f"{more} more"] if more > 0 else names
    return f"{listed(named)}: none yet"


def what_was_logged(row: ClubWeekRow) -> str:
    """Sessions and minutes beside the balls of a week."""
    minutes = "no minutes noted" if row.minutes is None else f"{row.minutes:,.0f} minutes noted"
    return f"in {sessions(row.sessions)}, {minutes}"


def short_before(weeks: Sequence[ClubWeekRow], chosen: date) -> str:
    """How many were short of variety four weeks before; `weeks` begins with the latest."""
    before = next((row for row in weeks if row.week == chosen - timedelta(weeks=4)), None)
    return f"four weeks before: {before.players_short_of_variety} of {before.players_active}" if before else ""


def group_in_words(name: str) -> str:
    """A group by its name; a dash is none."""
    return "No group" if name == "-" else name


def log_of_day(row: PlayerDayRow) -> str:
    """What of a player's day is in the log: `Tuesday 17: 123 balls in 1 session`."""
    return f"{row.day:%A} {row.day.day}: {balls(row.balls)} in {sessions(row.sessions)}"


def to_correct(places: Sequence[tuple[str, int]]) -> str:
    """Which lines of a day are refused, each by its file and number."""
    return f"to correct: {listed(f'line {line} of {file}' for file, line in places)}"


def is_sound(row: ClubWeekRow) -> bool:
    """Every active player has a log, and no line is refused."""
    return bool(row.players_with_log == row.players_active and not row.lines_refused)


def in_figures(row: ClubWeekRow) -> tuple[Figure, ...]:
    """What was trained in the week."""
    minutes = "not noted" if row.minutes is None else f"{row.minutes:,.0f}"
    short = f"{row.players_short_of_variety} of {row.players_active}"
    return (
        Figure("Sessions", f"{row.sessions}", ("sessions",)),
        Figure("Balls", f"{row.balls:,}", ("balls",)),
        Figure("Minutes", minutes, ("minutes",)),
        Figure("Short of variety", short, ("players_short_of_variety",)),
    )


def in_words(weeks: Sequence[ClubWeekRow], chosen: date, measure: tuple[str, str]) -> str:
    """What the chart shows, for those who do not see it. `weeks` begins with the latest."""
    column, title = measure
    value = next(getattr(row, column) for row in weeks if row.week == chosen)
    last, first = weeks[0].week, weeks[-1].week
    return f"Bars, one for each week from {first} to {last}: {title.lower()}. In the week from {chosen}: {value}."
