"""The verdicts on a player in a coach's words: with counts and ranges, never with a p-value.

Where there is too little to judge, the sentence says what it takes instead of guessing.
"""

from datetime import date

from dashboard.rows.judged import RarelyMetRow, SittingRow, ThenAndNowRow, TrendRow, VarietyCostRow
from dashboard.words.phrases import balls, change_in_100, change_range_in_100, day, in_100, sessions
from models.estimates import Estimate
from models.settings import Settings
from models.weeks import last_day_of_week

TREND_WORDS = {
    "rising": "rising",
    "falling": "falling",
    "steady": "steady",
    "not_clear": "not clear",
    "balls_changed": "not clear: the balls changed",
    "too_few": "not enough balls yet",
}
PROBE_WORDS = {
    "first": "first sitting",
    "better": "better",
    "worse": "worse",
    "not_clear": "not clear",
    "other_test": "other balls: not comparable",
}


def trend(row: TrendRow | None, settings: Settings, seen_from: date) -> str:
    """Whether success is rising, falling or steady, on balls equally hard."""
    if row is None:
        return (
            f"**Not enough balls yet** to judge a trend: nothing was logged in the last {settings.judged_weeks} weeks."
        )
    counts = f"{sessions(row.sessions)}, {balls(row.balls)}"
    if (change := row.changed) is None:
        takes = f"{balls(settings.trend_balls)} in {sessions(settings.trend_sessions)}"
        return f"**Not enough balls yet** to judge a trend: {counts}. It takes {takes}."
    at_end = f"{change_in_100(change.value)} land at the end than at the beginning, on balls equally hard"
    small = f"less than {in_100(settings.small_change)}, which this club calls small"
    sentence = {
        "rising": f"**Rising**: about {at_end}",
        "falling": f"**Falling**: about {at_end}",
        "steady": f"**Steady**: whatever changed, on balls equally hard, is {small}",
        "not_clear": "**Not clear**: on balls equally hard it may have risen, fallen or stayed",
        "balls_changed": "**Not clear: the balls changed**. Other balls were fed later than at first, and how much "
        "harder or easier they are is not known well enough to tell it from progress",
    }[row.verdict]
    days = f"{day(row.first_on, seen_from)} to {day(row.last_on, seen_from)}"
    return f"{sentence} (range {_range(change)}; {days}, {counts})."


def trend_in_short(row: TrendRow | None) -> str:
    """The verdict alone, for a figure among others."""
    return TREND_WORDS["too_few" if row is None else row.verdict]


def then_and_now(row: ThenAndNowRow | None, window_days: int, seen_from: date) -> str:
    """Success now beside that of the first whole window of the log, on the combinations that both hold."""
    if row is None:
        return "There are not yet two windows of logs with combinations in common."
    common = f"On the combinations met in both, {in_100(row.target_share_seen)} of the wanted mix"
    change = row.changed
    if change is None or row.detectable_change is None:
        return f"{common}: not enough balls yet ({balls(row.then_balls)} then, {balls(row.balls)} now)."
    then_end = day(last_day_of_week(row.then_week), seen_from)
    return (
        f"{common}: {in_100(row.then_rate)} in the {window_days} days to {then_end} ({balls(row.then_balls)}), "
        f"{in_100(row.rate)} now ({balls(row.balls)}). That is {change_in_100(change.value)} (range "
        f"{_range(change)}); these balls could tell a change of "
        f"{in_100(row.detectable_change)} from chance."
    )


def cost_of_a_change(row: VarietyCostRow | None, settings: Settings) -> str:
    """Whether success holds up on the first ball after a change."""
    if row is None:
        return "No ball of this player was logged one by one, so what came before each ball is not known."
    counts = f"{balls(row.first_balls)} after a change and {row.repeat_balls:,} like the one before"
    if (lost := row.lost) is None:
        return (
            f"**Not enough balls yet** to tell whether success holds up when the ball changes: {counts} can be "
            f"compared. It takes {settings.compared_balls} of each, in {settings.compared_blocks} blocks "
            f"of {sessions(settings.trend_sessions)}."
        )
    change = -lost
    loss = f"about {change_in_100(change.value)} land on the first ball after a change than on the same ball again"
    small = f"{in_100(settings.small_change)}, which this club calls small"
    sentence = {
        "falls": f"**Success falls when the ball changes**: {loss}",
        "holds_up": f"**Success holds up when the ball changes**: a change costs less than {small}",
        "not_clear": f"**Not clear whether success holds up when the ball changes**: {loss}, give or take",
    }[row.verdict]
    spoken_for = f"It speaks for {in_100(row.target_share_seen)} of the wanted mix."
    return f"{sentence} (range {_range(change)}; {counts}). {spoken_for}"


def rarely_met(row: RarelyMetRow | None, settings: Settings) -> str:
    """Whether success reaches the balls that the player rarely meets."""
    if row is None or row.rare_balls == 0:
        return "**Rarely met balls**: no wanted combination was met clearly more rarely than the others."
    counts = f"{row.rare_balls:,} rare and {row.familiar_balls:,} familiar balls"
    if (gap := row.surplus) is None:
        takes = f"{settings.compared_balls} of each, in {sessions(settings.trend_sessions)}"
        return f"**Rarely met balls**: not enough balls yet ({counts}; it takes {takes})."
    sentence = {
        "reaches": "**Success reaches the rarely met balls**",
        "falls_short": "**Success falls short on rarely met balls**",
        "not_clear": "**Not clear whether success reaches the rarely met balls**",
    }[row.verdict]
    return (
        f"{sentence}: about {change_in_100(gap.value)} land on them than on familiar ones of like difficulty (range "
        f"{_range(gap)}; {counts})."
    )


def probe(latest: SittingRow, settings: Settings, seen_from: date) -> str:
    """What the latest sitting of a test set says beside the first, and how many it would take to see more."""
    when = f"{day(latest.session_date, seen_from)}: {in_100(latest.rate)} of {balls(latest.balls)}"
    if latest.verdict == "first":
        return f"First sitting on {when}. Feed the same balls again some days later."
    after = _after_the_first(latest.days_since_first)
    change = latest.changed
    if change is None or latest.detectable_change is None or latest.sittings_needed is None:
        return f"{when}, {after}, but with other kinds of ball than the first sitting: not comparable."
    wanted = in_100(settings.small_change)
    return (
        f"**{PROBE_WORDS[latest.verdict].capitalize()}**, {after}: {change_in_100(change.value)} (range "
        f"{_range(change)}). The smallest change that these balls "
        f"could tell from chance is {in_100(latest.detectable_change)}; to see one of {wanted} it takes about "
        f"{latest.sittings_needed:,} sittings like these before, on days of their own, and as many after."
    )


def _range(change: Estimate) -> str:
    return change_range_in_100(change.low, change.high)


def _after_the_first(days: int) -> str:
    if days == 0:
        return "on the day of the first sitting"
    return f"{days} day{'' if days == 1 else 's'} after the first"


NO_PROBE = (
    "No test set was fed yet. A test set is the same kinds of ball from the same setups, fed before, after, and some "
    "days later without practice in between; name it in the log's column `probe`."
)
"""What a player's page says where there is no probe."""
