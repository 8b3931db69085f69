"""What a page says to the player: plain, encouraging, about nobody else."""

from collections.abc import Iterable, Sequence
from datetime import date

from dashboard.rows.coach import BoardRow, GapRow, ValueRow
from dashboard.rows.judged import TrendRow
from dashboard.rows.player import SuccessRow
from dashboard.words.phrases import (
    balls,
    balls_so,
    change_in_100,
    combination,
    day,
    in_100,
    listed,
    range_in_100,
    sessions,
)
from dashboard.words.sentences import feed_next
from models.settings import Settings

NOT_YET_WINNING = "Landing fed balls is not yet winning points, but it is where that begins."
NOT_MATCHES = "Success against fed balls is not success in matches."


def what_i_met(me: BoardRow, values: Iterable[ValueRow], settings: Settings, seen_from: date) -> list[str]:
    """What a player met in the window, said to the player."""
    if me.standing in ("no_log", "no_recent_log"):
        return [_nothing_met(me, settings, seen_from)]
    hit = f"{balls(me.balls)} in {sessions(me.sessions)}"
    sentences = [f"In the last {settings.window_days} days of the log you hit {hit}."]
    if me.standing == "few_balls":
        return [*sentences, f"That is a start, and not enough balls yet to say more: it takes {settings.rate_balls}."]
    if me.cells is None:
        return [*sentences, "There is no target for you yet, so there is nothing to measure the variety against."]
    met = f"Of the {me.cells} kinds of ball on your plan you met {me.cells_covered} well"
    sentences.append(f"{met}: {settings.covered_balls} balls or more of each.")
    only = (balls_so(row.dimension, row.value) for row in _only_value_met(values))
    return sentences + [f"On your plan you met only {kind}." for kind in only]


def _nothing_met(me: BoardRow, settings: Settings, seen_from: date) -> str:
    if me.last_logged_on is None:
        return "There is no log of your training yet."
    return (
        f"There is no log of your training since {day(me.last_logged_on, seen_from)}, so the last "
        f"{settings.window_days} days say nothing. If you did train, tell your coach that the log is missing."
    )


def _only_value_met(values: Iterable[ValueRow]) -> list[ValueRow]:
    """For each dimension in which only one of several values was met: that value."""
    by_dimension: dict[str, list[ValueRow]] = {}
    for row in values:
        by_dimension.setdefault(row.dimension, []).append(row)
    met = [(rows, [row for row in rows if row.balls]) for rows in by_dimension.values()]
    return [with_balls[0] for rows, with_balls in met if len(with_balls) == 1 and len(rows) > 1]


def what_i_lack(me: BoardRow, values: Sequence[ValueRow], seen_from: date) -> list[str]:
    """What a player has not met, said to the player."""
    if me.standing in ("no_log", "few_balls", "no_target"):
        return []
    if me.standing == "no_recent_log":
        return ["Every kind of ball on your plan is due again."]
    never = [balls_so(row.dimension, row.value) for row in values if row.status == "empty"]
    stale = [
        f"{balls_so(row.dimension, row.value)} (last on {day(row.last_met_on, seen_from)})"
        for row in values
        if row.status == "stale" and row.last_met_on is not None
    ]
    otherwise = [balls_so(row.dimension, row.value) for row in values if row.status == "off_plan"]
    sentences = [f"Not met yet: {listed(never)}."] if never else []
    sentences += [f"Met, but not as your plan has it: {listed(otherwise)}."] if otherwise else []
    sentences += [f"Met before, but not lately: {listed(stale)}."] if stale else []
    return sentences or [_everything_met(me)]


def _everything_met(me: BoardRow) -> str:
    if me.cells_covered == me.cells:
        return "Nothing on your plan: you met every kind of ball. Keep the mix."
    return "Every place, spin and tempo on your plan came up; what is missing are some of them together."


def ask_for(gap: GapRow, seen_from: date) -> str:
    """A kind of ball to ask for next time, with the reason, said to the player."""
    if gap.why != "weak":
        return feed_next(gap, seen_from)
    sentence = combination(gap.words)
    return f"{sentence[:1].upper()}{sentence[1:]} — you meet it often, and it is the one to work on"


def every_kind_counts(settings: Settings) -> str:
    """How many balls it takes, so that a kind of ball counts as met."""
    return f"With {settings.covered_balls} balls a kind counts as met. Every new kind is a step."


def how_it_goes(cut: str, rows: Iterable[SuccessRow]) -> list[str]:
    """Success for each value of a cut, said to the player, without comparing anybody."""
    return [_value_success(cut, row) for row in rows]


def _value_success(cut: str, row: SuccessRow) -> str:
    sentence = balls_so(cut, row.value)
    sentence = f"{sentence[:1].upper()}{sentence[1:]}"
    if row.rate is None:
        return f"{sentence}: not enough balls yet ({row.balls})."
    return f"{sentence}: {in_100(row.rate)} landed ({row.good:,} of {row.balls:,})."


def my_success(row: SuccessRow | None, settings: Settings) -> str:
    """Success over all balls, said to the player."""
    if row is None or (rate := row.success) is None:
        return f"Not enough balls yet to say how it goes: it takes {settings.rate_balls}."
    return (
        f"{in_100(rate.value)} of your balls landed where the drill asked ({row.good:,} of {row.balls:,}). "
        f"The true figure lies plausibly in the range {range_in_100(rate.low, rate.high)}."
    )


def my_trend(row: TrendRow | None, settings: Settings, seen_from: date) -> str:
    """Whether it goes up or down, said to the player with counts and without blame."""
    if row is None or row.change is None:
        had = f"{balls(row.balls)} in {sessions(row.sessions)}" if row else "none"
        return (
            f"Not enough balls yet to say where it is going: {had} so far, it takes {settings.trend_balls} balls in "
            f"{settings.trend_sessions} sessions. Every session counts."
        )
    change = change_in_100(row.change)
    sentence = {
        "rising": f"You are getting better: about {change} land than at the start, on balls equally hard. Keep going!",
        "falling": f"About {change} land than at the start, on balls equally hard. That happens, for instance when a "
        "stroke is being changed. Talk it over with your coach.",
        "steady": "You keep your level, on balls equally hard.",
        "not_clear": "It goes up and down, as it does for everybody; whether it is rising cannot be told yet.",
        "balls_changed": "You met other balls than at first, so whether you are getting better cannot be told yet.",
    }[row.verdict]
    since = f"{day(row.first_on, seen_from)} to {day(row.last_on, seen_from)}"
    return f"{sentence} ({since}: {balls(row.balls)} in {sessions(row.sessions)}.)"
