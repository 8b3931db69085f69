"""Two players, or two periods of one, side by side, in words."""

from datetime import date, timedelta

from dashboard.words.phrases import balls, change_in_100, change_range_in_100, in_100, range_in_100
from models.compare import Comparison, EqualVariety, Side
from models.settings import Settings

HOW_IT_IS_COMPARED = (
    "Only balls that both met count, and each kind of ball counts the same, whoever met more of it: so nobody looks "
    "better for having trained the easier balls. Balls of one block and of one day share their luck, which widens the "
    "ranges. Direct standardisation: Fleiss, Levin & Paik 2003, ch. 19; range of the difference: Newcombe 1998, Stat. "
    "Med. 17:873, method 10. What counts as alike is a setting (small_change). Variety is compared at equal numbers of "
    "balls, all kinds of the own target counted: as many as the one with fewer had are thought drawn by chance from "
    "either's balls (Hurlbert 1971, Ecology 52:577), for more balls alone meet more kinds. Where targets differ, so do "
    "their kinds."
)

SINGLE_KINDS = (
    "Those of which both had most balls first. Among many kinds one or another stands apart by chance alone: what "
    "counts is all of them together, above."
)


def periods(last_day: date, settings: Settings) -> dict[str, tuple[date, date]]:
    """The periods that can be compared, by what they are called: first and last day."""
    days, weeks = settings.window_days, settings.judged_weeks
    ends = {
        f"the last {days} days": (days, last_day),
        f"the {days} days before those": (days, last_day - timedelta(days=days)),
        f"the last {weeks} weeks": (7 * weeks, last_day),
        f"the {weeks} weeks before those": (7 * weeks, last_day - timedelta(weeks=weeks)),
    }
    ranges = {name: (end - timedelta(days=length - 1), end) for name, (length, end) in ends.items()}
    return ranges | {"all of the log": (date.min, last_day)}


def overlap(first: tuple[date, date], other: tuple[date, date]) -> bool:
    """Whether a day is in both periods: then a player would be compared with the same balls."""
    return first[0] <= other[1] and other[0] <= first[1]


def verdict(found: Comparison, first: str, other: str, settings: Settings) -> str:
    """Which of the two lands more, or that it cannot be told, with the count and the range."""
    kinds = f"{len(found.cells)} kind{'' if len(found.cells) == 1 else 's'} of ball"
    counts = f"{balls(found.first.balls)} and {balls(found.other.balls)}"
    if found.verdict == "nothing_in_common":
        return f"**Nothing to compare**: {first} and {other} have no wanted kind of ball in common."
    if found.difference is None or found.detectable is None:
        return f"**Not enough balls yet**: {counts} on {kinds} that both met; it takes {settings.rate_balls} of each."
    more = change_in_100(found.difference.value)
    sentence = {
        "first": f"**{first} lands more**: {more} than {other}",
        "other": f"**{other} lands more**: {first} lands {more}",
        "alike": f"**Alike**: the difference is less than {in_100(settings.small_change)}, which this club calls small",
        "not_clear": f"**Too close to tell**: {first} lands {more} than {other}, give or take",
    }[found.verdict]
    spread = f"range {change_range_in_100(found.difference.low, found.difference.high)}"
    return (
        f"{sentence} ({spread}; {counts} on {kinds} that both met). "
        f"These balls could tell a difference of {in_100(found.detectable)} from chance."
    )


def side(found: Side) -> str:
    """Success of one side on the common balls, equally mixed."""
    if found.success is None:
        return f"{found.good:,} of {balls(found.balls)}"
    rate = found.success
    return f"{in_100(rate.value)}, range {range_in_100(rate.low, rate.high)} ({found.good:,} of {balls(found.balls)})"


def variety(found: EqualVariety | None, first: str, other: str) -> str:
    """Whose balls were more varied, as many of each; nothing where there are too few."""
    if found is None:
        return ""
    return (
        f"**Variety at equal balls**: {balls(found.balls)} of {first} would hold about {found.first:.1f} kinds of "
        f"ball, and as many of {other} about {found.other:.1f}."
    )


def in_short(found: Side) -> tuple[str, str]:
    """Success of one side on one kind of ball, and what it rests on; the count alone where there are too few balls."""
    if found.success is None:
        return f"{found.good:,} of {found.balls:,}", "too few to judge"
    rate = found.success
    return in_100(rate.value), f"{range_in_100(rate.low, rate.high)}; {found.good:,} of {found.balls:,}"
