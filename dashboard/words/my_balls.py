"""What stands on a player's own page beside the drawings, said to the player, or of the player to a guardian.

`name` is None where the player reads it, and the player's name where a guardian does.
"""

from collections.abc import Sequence
from datetime import date

from dashboard.rows.coach import BoardRow, GapRow
from dashboard.rows.judged import TrendRow
from dashboard.rows.player import NewBallRow, SuccessRow
from dashboard.words.phrases import balls, combination, day, sessions
from models.settings import Settings
from sql.club.notes import NoteToPlayer

FOR_THE_CURIOUS = "For the curious: all of it in words, and what the figures mean"


def first_name(name: str) -> str:
    """What one calls somebody."""
    return name.split(maxsplit=1)[0] if name.split() else name


def what_is_new(new: Sequence[NewBallRow], me: BoardRow, settings: Settings, name: str | None) -> str:
    """What of the plan was met for the first time in the window: a fact of the log, or what it takes for one."""
    days = settings.window_days
    if not new:
        return _nothing_new(me, days, name)
    count = "One kind of ball is new" if len(new) == 1 else f"{len(new)} kinds of ball are new"
    whose = "" if name is None else f" for {name}"
    newest = new[0]
    sentence = f"{count}{whose} in the last {days} days."
    return f"{sentence} The newest: {combination(newest.words)}, on {day(newest.first_met_on, newest.first_met_on)}."


def _nothing_new(me: BoardRow, days: int, name: str | None) -> str:
    if me.standing in ("no_log", "no_recent_log"):
        whose = "your training" if name is None else f"{name}'s training"
        return f"There is no log of {whose} in the last {days} days."
    hit = "You hit" if name is None else f"{name} hit"
    return f"{hit} {balls(me.balls)} in {sessions(me.sessions)} of the last {days} days; no kind of the plan was new."


def each_field(settings: Settings) -> str:
    """How the map is read."""
    return f"Each field is one kind of ball. {settings.covered_balls} balls in {settings.window_days} days fill it."


def how_full(gap: GapRow, name: str | None) -> str:
    """How many balls the next one still takes."""
    had = "You had" if name is None else f"{name} had"
    if gap.why == "weak":
        return f"{had} {gap.balls}, often enough: it is the one to work on."
    if gap.balls:
        return f"{had} {gap.balls}. With {gap.need_balls} more this field is full."
    return f"{'Not met yet' if gap.status == 'empty' else 'Not met lately'}. {gap.need_balls} balls fill the field."


def how_many_land(row: SuccessRow | None, settings: Settings, name: str | None) -> str:
    """Success over the window with its range and its count."""
    if row is None or (rate := row.success) is None:
        had = row.balls if row else 0
        return f"Not enough balls yet to say how it goes: {had} so far, it takes {settings.rate_balls}."
    whose = "" if name is None else f"{name}'s "
    return (
        f"About **{rate.value:.0%}".removesuffix("%")
        + f" of 100** {whose}balls land now ({row.good:,} of {row.balls:,}). "
        + f"Honestly it could be anything from {100 * rate.low:.0f} to {100 * rate.high:.0f}."
    )


def up_or_down(row: TrendRow | None, seen_from: date, name: str | None) -> str:
    """The verdict on the trend, kindly."""
    if row is None or row.first_on is None or row.verdict == "too_few":
        return "Up or down? It takes a few more sessions to tell."
    since = day(row.first_on, seen_from)
    who = "You are" if name is None else f"{name} is"
    sentence = {
        "rising": f"Up since {since}, on balls equally hard. {who} getting better.",
        "falling": f"Down since {since}, on balls equally hard. That happens, for instance while a stroke is being "
        "changed. Talk it over with the coach.",
        "steady": f"The same level since {since}, on balls equally hard.",
    }.get(row.verdict, f"Up or down since {since}? Too close to tell. That is normal.")
    return f"{sentence} ({balls(row.balls)} in {sessions(row.sessions)}.)"


def note_signature(note: NoteToPlayer, seen_from: date) -> str:
    """Who wrote a sentence, and when."""
    return f"{note.writer or 'A coach who has left'}, {day(note.written_at.date(), seen_from)}"
