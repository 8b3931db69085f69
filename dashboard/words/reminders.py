"""Which groups' logs are missing, by whom they usually come, and a text that asks for them."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import NamedTuple

from dashboard.rows.club import GroupCoachRow, GroupDayRow, PlayerDayRow, WithoutLogRow
from dashboard.words.club import group_in_words
from dashboard.words.phrases import listed

WHERE_FROM = (
    "Here: noted on the page Hall, or in a plan of the hall that is kept. A plan of the hall goes when its day is past."
)


class MissingGroup(NamedTuple):
    """A group of which logs are missing in a week."""

    name: str
    players: int
    in_log: int
    missing: tuple[str, ...]
    """The names of the players."""
    coach: GroupCoachRow | None


def missing_groups(
    groups: Sequence[GroupDayRow], missing: Sequence[WithoutLogRow], coaches: Sequence[GroupCoachRow]
) -> tuple[MissingGroup, ...]:
    """The groups with players of whom the week has no log, those without any log first."""
    counts = {row.group_name: row for row in groups}
    usual = {row.group_name: row for row in coaches}
    found = [
        MissingGroup(name, row.players_active, row.players_with_log_in_week, names, usual.get(name))
        for name, row in counts.items()
        if (names := tuple(one.name for one in missing if (one.group_name or "-") == name))
    ]
    return tuple(sorted(found, key=lambda group: group.in_log > 0))


def how_far(group: MissingGroup) -> str:
    """How much of the group's week is in, and by whom it usually comes."""
    in_log = f"{group.in_log} of {group.players} in" if group.in_log else "no log yet"
    return f"{in_log}, {_usually(group.coach)}"


def _usually(coach: GroupCoachRow | None) -> str:
    if coach is None:
        return "and nobody is noted who led it in the weeks before"
    weeks = "week" if coach.weeks_logged == 1 else "weeks"
    return f"usually by {coach.coach} (led {coach.weeks_led} of the last {coach.weeks_logged} {weeks} with a log)"


def reminder(group: MissingGroup, week: date) -> str:
    """A text to copy into a message."""
    hello = f"Hello {group.coach.coach}" if group.coach else "Hello"
    whose = group_in_words(group.name) if group.name != "-" else "the players without a group"
    what = f"of {listed(group.missing)} ({whose})" if group.in_log else f"of {whose}"
    return (
        f"{hello}, for the week from Monday {week.day} {week:%B %Y} (week {week:%V}) no log {what} has reached me yet. "
        "Could you send the sheet, or write the blocks in? If there was no training with a feeder, tell me that "
        "instead. Thank you!"
    )


class DayHere(NamedTuple):
    """A day on which players were noted as here: how many, how many of them have a log of the day, who has none."""

    day: date
    here: int
    in_log: int
    without: tuple[str, ...]


def days_here(here: Mapping[date, frozenset[str]], players: Sequence[PlayerDayRow]) -> tuple[DayHere, ...]:
    """Attendance of the week beside its logs, by day."""
    names = {row.player_id: row.name for row in players}
    logged = {(row.player_id, row.day) for row in players if row.sessions}
    days = []
    for day, who in sorted(here.items()):
        without = sorted(names.get(player, player) for player in who if (player, day) not in logged)
        days.append(DayHere(day, len(who), len(who) - len(without), tuple(without)))
    return tuple(days)
