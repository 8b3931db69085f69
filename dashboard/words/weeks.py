"""What the pages say of the weeks of a player: what was logged, and the load that it was."""

from collections.abc import Sequence
from datetime import date

from dashboard.rows.player import WeekRow
from dashboard.words.phrases import balls, day

NO_LOG = "no log"
NO_MINUTES = "minutes not noted"


def how_noted(week: WeekRow) -> str:
    """What of a week is in the log, in two or three words."""
    if week.sessions == 0:
        return NO_LOG
    return "logged" if week.minutes is not None else NO_MINUTES


def weeks_alt(what: str, weeks: Sequence[WeekRow], seen_from: date) -> str:
    """A chart of weeks in words: what each of the last eight had."""
    weeks_told = (f"{day(week.week, seen_from)} {_value_text(week, what.lower())}" for week in weeks[-8:])
    return f"{what} by week. The last ones: {'; '.join(weeks_told)}."


def _value_text(week: WeekRow, column: str) -> str:
    value = getattr(week, column)
    return NO_LOG if week.sessions == 0 else ("not noted" if value is None else f"{value:,.0f}")


def load(week: WeekRow) -> str:
    """The load of one week in words; a week without a log is missing, not rest."""
    if week.sessions == 0 or week.balls is None:
        return "No log in this week: that is missing, not rest."
    if week.minutes is None:
        return f"{balls(week.balls)} in this week; nobody noted minutes."
    sentence = f"{week.minutes:.0f} minutes with {balls(week.balls)} in this week"
    if week.week_change is None:
        return f"{sentence}; there are no earlier weeks with minutes to compare."
    weeks = "the one week" if week.weeks_compared == 1 else f"the {week.weeks_compared} weeks"
    return f"{sentence}: {week.week_change:.1f} times the mean of {weeks} before that have minutes noted."


def effort(week: WeekRow) -> str | None:
    """Effort times minutes of one week; None where nobody noted the effort, which is no sign of little effort."""
    if week.effort_load is None:
        return None
    return f"Effort (0 to 10) times minutes, over its sessions: {week.effort_load:,.0f}."


def guidance(week: WeekRow) -> str | None:
    """Guidance on the hours of the young, for the coach; None for who is of age or has no birth year."""
    if week.guidance_hours is None:
        return None
    return (
        f"Guidance for the young, not a limit: no more than {week.guidance_hours} hours of organised sport a week, "
        "all sports together (the years of age, 16 at most: Jayanthi et al. 2015, Am. J. Sports Med. 43:794; Brenner "
        "2016, Pediatrics 138:e20162148; both read second-hand). This log knows the feeder only. The club's own rules "
        "and those who care for the player come first."
    )
