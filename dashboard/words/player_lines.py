"""One line for each question about a player: what is asked, the answer, and what it rests on."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from dashboard.rows.coach import BoardRow, GapRow
from dashboard.rows.judged import MixRow, TrendRow, VarietyCostRow
from dashboard.rows.player import ErrorRow, WeekRow
from dashboard.words.judged import trend_in_short
from dashboard.words.phrases import balls, change_range_in_100, day, in_100, label, range_in_100, sessions
from dashboard.words.setup import LEAST_TURN_DEG
from models.bearings import to_side
from models.settings import Settings


@dataclass(frozen=True)
class Line:
    """What is asked, the answer in a few words, and its count and range."""

    asked: str
    answer: str
    rests_on: str


CHANGE_WORDS = {
    "falls": "Falls on the first ball",
    "holds_up": "Holds up",
    "not_clear": "Not clear",
    "too_few": "Not enough balls yet",
}


def variety(me: BoardRow) -> Line:
    """How much of the plan is covered."""
    asked = "How varied?"
    if me.cells is None:
        return Line(asked, "No target", "no plan applies to this player, so there is nothing to cover")
    pairs = f"{me.pairs_covered} of {me.pairs} pairs of values together; " if me.pairs else ""
    return Line(
        asked, f"{me.cells_covered} of {me.cells} covered", f"{pairs}{balls(me.balls)}, {sessions(me.sessions)}"
    )


def success(mix: MixRow | None) -> Line:
    """Success on the mix that is wanted."""
    asked = "How does success go?"
    if mix is None or (rate := mix.success) is None:
        return Line(asked, "Not enough balls yet", f"{balls(mix.balls if mix else 0)} of the wanted mix")
    seen = f"speaks for {in_100(mix.target_share_seen)} of the mix"
    return Line(
        asked,
        f"{in_100(rate.value)} on the wanted mix",
        f"range {range_in_100(rate.low, rate.high)}; {balls(mix.balls)}, {seen}",
    )


def trend(row: TrendRow | None, seen_from: date) -> Line:
    """Whether success rises or falls."""
    answer = trend_in_short(row).capitalize()
    if row is None or (change := row.changed) is None:
        counts = f"{balls(row.balls)} in {sessions(row.sessions)}" if row else "no session"
        return Line("Rising or falling?", answer, counts)
    return Line(
        "Rising or falling?",
        answer,
        f"{change_range_in_100(change.low, change.high)} since {day(row.first_on, seen_from)}; {balls(row.balls)}",
    )


def change_of_ball(row: VarietyCostRow | None) -> Line:
    """Whether success holds when the ball changes."""
    asked = "When the ball changes?"
    if row is None:
        return Line(asked, "Not known", "no ball was logged one by one")
    answer = CHANGE_WORDS.get(row.verdict, "Not enough balls yet")
    if (lost := row.lost) is None:
        return Line(asked, answer, f"{row.first_balls:,} first balls, {row.repeat_balls:,} repeated ones")
    change = -lost
    return Line(asked, answer, f"{change_range_in_100(change.low, change.high)}; {row.first_balls:,} first balls")


def mistakes(rows: Sequence[ErrorRow]) -> Line:
    """Which mistake goes with a spin."""
    asked = "Which mistakes?"
    if not rows:
        return Line(asked, "Not noted", "no line of these weeks names its mistakes")
    out = sorted((row for row in rows if row.stands_out), key=lambda row: -row.share)
    if not out:
        return Line(asked, "None goes with one spin", f"{balls(rows[0].all_noted_balls)} noted")
    worst = out[0]
    answer = f"{label(worst.outcome).capitalize()} on {label(worst.spin)}"
    return Line(asked, answer, f"{in_100(worst.share)}, {worst.balls:,} of {balls(worst.noted_balls)}")


def load(weeks: Sequence[WeekRow]) -> Line:
    """How much was trained this week."""
    asked = "How much?"
    week = weeks[-1] if weeks else None
    if week is None or week.sessions == 0 or week.balls is None:
        return Line(asked, "No log this week", "that is missing, not rest")
    if week.minutes is None:
        return Line(asked, f"{balls(week.balls)} this week", "nobody noted minutes")
    answer = f"{week.minutes:.0f} min, {balls(week.balls)} this week"
    if week.week_change is None:
        return Line(asked, answer, "no earlier weeks with minutes to compare")
    return Line(asked, answer, f"{week.week_change:.1f} times the {week.weeks_compared} weeks before")


def head_turned(turn_deg: float) -> str:
    """How far the head is turned, in a few words; `turn_deg` as `yaw_deg` gives it."""
    found = to_side(turn_deg, LEAST_TURN_DEG)
    return f"head about {found.size:.0f}° to the player's {found.side}" if found else "head straight"


def why_next(gap: GapRow, settings: Settings, seen_from: date) -> str:
    """Why a ball is to be fed next, in a few words."""
    if gap.why == "weak" and gap.shrunk is not None:
        return f"weak: about {in_100(gap.shrunk.value)}"
    if gap.last_met_on is None:
        return "never met"
    if gap.balls == 0:
        return f"last on {day(gap.last_met_on, seen_from)}"
    return f"{gap.balls} of {settings.covered_balls} balls"
