"""What the pages say of a player: sentences made of published figures, for the coach and for the player.

Rates never stand without their counts, and where there are too few balls the sentence says so instead of guessing.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any

from dashboard.phrases import balls, balls_so, combination, day, in_100, label, listed, phrase, verbatim
from models.settings import Settings

Row = Mapping[str, Any]

STATUS_WORDS = {
    "covered": "covered",
    "touched": "too few balls",
    "stale": "stale",
    "empty": "never met",
}


def standing(row: Row, settings: Settings, seen_from: date) -> str | None:
    """Why a player's recent training cannot be judged, or None where it can."""
    match row["standing"]:
        case "no_log":
            return "no log yet"
        case "no_recent_log":
            return f"no log since {day(row['last_logged_on'], seen_from)}"
        case "few_balls":
            return f"not enough balls yet: {row['balls']} of the {settings.rate_balls} it takes"
        case "no_target":
            return "no target for this player"
    return None


def not_judged(rows: Iterable[Row], settings: Settings, seen_from: date) -> list[str]:
    """The players that the board cannot judge, each with the reason."""
    return [f"{verbatim(row['name'])} ({why})" for row in rows if (why := standing(row, settings, seen_from))]


def met_how(cell: Row, seen_from: date) -> str:
    """How far a player has met a combination: `never met`, `stale, last on 3 October`, `6 balls, 4 more to go`."""
    match cell["status"]:
        case "empty":
            return "never met"
        case "stale":
            return f"stale, last on {day(cell['last_met_on'], seen_from)}"
        case "touched":
            return f"{balls(cell['balls'])}, {cell['need_balls']} more to go"
    return balls(cell["balls"])


def feed_next(cell: Row, seen_from: date) -> str:
    """One line of what to feed next."""
    said = combination(cell)
    return f"{said[:1].upper()}{said[1:]} — {met_how(cell, seen_from)}"


def pair_gap(first: str, other: str, missing: Iterable[Row]) -> str:
    """Which pairs of values of two dimensions are missing: `topspin from the middle`, ..."""
    gaps = (f"{phrase(first, row['value'])} with {phrase(other, row['other_value'])}" for row in missing)
    return "; ".join(gaps)


def success(row: Row | None, settings: Settings) -> str:
    """How often the ball landed where the drill asked, with its counts and range."""
    if row is None:
        return "No balls in this window."
    counts = f"{row['good']:,} of {balls(row['balls'])}"
    if row["rate"] is None:
        return f"{counts}: not enough balls yet for a rate (it takes {settings.rate_balls})."
    return f"{in_100(row['rate'])} ({counts}; range {_range(row['low'], row['high'])})."


def _range(low: float, high: float) -> str:
    return f"{low:.0%} to {high:.0%}".replace("%", "")


def then_and_now(row: Row | None, window_days: int, seen_from: date) -> str:
    """Success now beside that of the first whole window of the log."""
    if row is None:
        return "There are not yet two windows of logs to compare."
    then = f"{in_100(row['then_rate'])} ({balls(row['then_balls'])}; range {_range(row['then_low'], row['then_high'])})"
    now = f"{in_100(row['rate'])} ({balls(row['balls'])}; range {_range(row['low'], row['high'])})"
    return f"In the {window_days} days to {day(row['then_week_end'], seen_from)}: {then}. Now: {now}."


def session_swing(sessions: Iterable[Row], seen_from: date) -> str:
    """The lowest and the highest single session."""
    rated = [session for session in sessions if session["rate"] is not None]
    if len(rated) < 2:
        return "There are not yet two sessions with enough balls to compare."
    low, high = (
        f"{in_100(s['rate'])} ({day(s['session_date'], seen_from)}, {balls(s['balls'])})"
        for s in (min(rated, key=_rate), max(rated, key=_rate))
    )
    return f"Single sessions: the lowest {low}, the highest {high}."


def _rate(session: Row) -> float:
    return float(session["rate"])


def order_seen(row: Row) -> str:
    """In what order the balls of a session came."""
    orders = {
        "blocked": "blocked: the same ball many times, then the next",
        "serial": "serial: changing in a way one can guess",
        "random": "mixed: the next ball was hard to guess",
        None: "too few balls or one kind of ball only: no order to see",
    }
    return orders[row["order_seen"]]


ORDER_EVIDENCE = (
    "Reported, not scored: mixed practice usually looks worse today; judge it by a test some days later. Its benefit "
    "was clear in the laboratory (Shea & Morgan 1979), almost negligible in applied settings and not "
    "significant in the young (Czyż et al. 2024, Scientific Reports 14:15974)."
)
"""The evidence on the order of practice, stated fairly."""


def after_a_change(rows: Iterable[Row]) -> list[str]:
    """Success on the first ball after a change, and on the same ball again."""
    kinds = {"changed": "First ball after a change", "same": "Same ball again"}
    return [
        f"{kinds[row['ball_kind']]}: {row['good']:,} of {balls(row['balls'])}"
        + (f", {in_100(row['rate'])}" if row["rate"] is not None else ": not enough balls yet")
        for row in rows
    ]


def what_i_met(me: Row, values: Iterable[Row], settings: Settings, seen_from: date) -> list[str]:
    """What a player met in the window, said to the player."""
    if me["standing"] in ("no_log", "no_recent_log"):
        return [_nothing_met(me, settings, seen_from)]
    sessions = "one session" if me["sessions"] == 1 else f"{me['sessions']} sessions"
    sentences = [f"In the last {settings.window_days} days of the log you hit {balls(me['balls'])} in {sessions}."]
    if me["standing"] == "few_balls":
        return [*sentences, f"That is a start, and not enough balls yet to say more: it takes {settings.rate_balls}."]
    if me["cells"] is None:
        return [*sentences, "There is no target for you yet, so there is nothing to measure the variety against."]
    met = f"Of the {me['cells']} kinds of ball on your plan you met {me['cells_covered']} well"
    sentences.append(f"{met}: {settings.covered_balls} balls or more of each.")
    only = (balls_so(row["dimension"], row["value"]) for row in _only_value_met(values))
    return sentences + [f"On your plan you met only {kind}." for kind in only]


def _nothing_met(me: Row, settings: Settings, seen_from: date) -> str:
    if me["standing"] == "no_log":
        return "There is no log of your training yet."
    return (
        f"There is no log of your training since {day(me['last_logged_on'], seen_from)}, so the last "
        f"{settings.window_days} days say nothing. If you did train, tell your coach that the log is missing."
    )


def _only_value_met(values: Iterable[Row]) -> list[Row]:
    """For each dimension in which only one of several values was met: that value."""
    by_dimension: dict[str, list[Row]] = {}
    for row in values:
        by_dimension.setdefault(row["dimension"], []).append(row)
    met = [(rows, [row for row in rows if row["balls"]]) for rows in by_dimension.values()]
    return [with_balls[0] for rows, with_balls in met if len(with_balls) == 1 and len(rows) > 1]


def what_i_lack(me: Row, values: Sequence[Row], seen_from: date) -> list[str]:
    """What a player has not met, said to the player."""
    if me["standing"] in ("no_log", "few_balls", "no_target"):
        return []
    if me["standing"] == "no_recent_log":
        return ["Every kind of ball on your plan is due again."]
    never = [balls_so(row["dimension"], row["value"]) for row in values if row["status"] == "empty"]
    stale = [
        f"{balls_so(row['dimension'], row['value'])} (last on {day(row['last_met_on'], seen_from)})"
        for row in values
        if row["status"] == "stale"
    ]
    sentences = [f"Not met yet: {listed(never)}."] if never else []
    sentences += [f"Met before, but not lately: {listed(stale)}."] if stale else []
    return sentences or [_everything_met(me)]


def _everything_met(me: Row) -> str:
    if me["cells_covered"] == me["cells"]:
        return "Nothing on your plan: you met every kind of ball. Keep the mix."
    return "Every place, spin and tempo on your plan came up; what is missing are some of them together."


def how_it_goes(cut: str, rows: Iterable[Row]) -> list[str]:
    """Success for each value of a cut, said to the player, without comparing anybody."""
    return [_value_success(cut, row) for row in rows]


def _value_success(cut: str, row: Row) -> str:
    said = balls_so(cut, row["value"])
    said = f"{said[:1].upper()}{said[1:]}"
    if row["rate"] is None:
        return f"{said}: not enough balls yet ({row['balls']})."
    return f"{said}: {in_100(row['rate'])} landed ({row['good']:,} of {row['balls']:,})."


def my_success(row: Row | None, settings: Settings) -> str:
    """Success over all balls, said to the player."""
    if row is None or row["rate"] is None:
        return f"Not enough balls yet to say how it goes: it takes {settings.rate_balls}."
    return (
        f"{in_100(row['rate'])} of your balls landed where the drill asked ({row['good']:,} of {row['balls']:,}). "
        f"The true figure lies plausibly in the range {_range(row['low'], row['high'])}."
    )


def my_change(row: Row | None, window_days: int, seen_from: date) -> str | None:
    """Success now beside the beginning of the log, said to the player; None where there is nothing to compare."""
    if row is None:
        return None
    then = f"{in_100(row['then_rate'])} ({row['then_good']:,} of {row['then_balls']:,})"
    return (
        f"In the {window_days} days to {day(row['then_week_end'], seen_from)} it was {then}; "
        f"now it is {in_100(row['rate'])}. The balls may have been others then."
    )


def chart_alt(what: str, rows: Iterable[Row], settings: Settings) -> str:
    """A chart of success by value in words, for who cannot see it."""
    return f"{what}: " + "; ".join(f"{label(row['value'])} {success(row, settings)}" for row in rows)


def weeks_alt(what: str, weeks: Sequence[Row], seen_from: date) -> str:
    """A chart of weeks in words: what each of the last eight had."""
    told = (f"{day(week['week'], seen_from)} {_noted(week, what.lower())}" for week in weeks[-8:])
    return f"{what} by week. The last ones: {'; '.join(told)}."


def _noted(week: Row, column: str) -> str:
    return "no log" if week["sessions"] == 0 else ("not noted" if week[column] is None else f"{week[column]:,.0f}")


def load(week: Row) -> str:
    """The load of one week in words; a week without a log is missing, not rest."""
    if week["sessions"] == 0:
        return "No log in this week: that is missing, not rest."
    if week["minutes"] is None:
        return f"{balls(week['balls'])} in this week; nobody noted minutes."
    said = f"{week['minutes']:.0f} minutes with {balls(week['balls'])} in this week"
    if week["week_change"] is None:
        return f"{said}; there are no earlier weeks with minutes to compare."
    weeks = "the one week" if week["weeks_compared"] == 1 else f"the {week['weeks_compared']} weeks"
    return f"{said}: {week['week_change']:.1f} times the mean of {weeks} before that have minutes noted."
