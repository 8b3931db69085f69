"""What the pages say of a player: sentences made of published figures. Verdicts are in wording_judged.

Rates never stand without their counts, and where there are too few balls the sentence says so instead of guessing.
"""

from collections.abc import Iterable
from datetime import date
from operator import attrgetter

from dashboard.rows.coach import BoardRow, CoverageRow, GapRow, MissingPairRow
from dashboard.rows.feeding import DoubtfulRow
from dashboard.rows.judged import LikenessRow, MixRow
from dashboard.rows.player import EqualBallsRow, ErrorRow, OrderRow, SessionRow, SuccessRow, VarietyRow
from dashboard.words.phrases import balls, combination, day, in_100, label, phrase, range_in_100, sessions, verbatim
from models.settings import Settings
from models.spread import Spread
from models.tally import furthest_apart, tally

STATUS_WORDS = {
    "covered": "covered",
    "touched": "too few balls",
    "stale": "stale",
    "empty": "never met",
}


def standing(row: BoardRow, settings: Settings, seen_from: date) -> str | None:
    """Why a player's recent training cannot be judged, or None where it can."""
    if row.last_logged_on is None:
        return "no log yet"
    match row.standing:
        case "no_recent_log":
            return f"no log since {day(row.last_logged_on, seen_from)}"
        case "few_balls":
            return f"not enough balls yet: {row.balls} of the {settings.rate_balls} it takes"
        case "no_target":
            return "no target for this player"
    return None


def not_judged(rows: Iterable[BoardRow], settings: Settings, seen_from: date) -> list[str]:
    """The players that the board cannot judge, each with the reason."""
    return [f"{verbatim(row.name)} ({why})" for row in rows if (why := standing(row, settings, seen_from))]


def met_how(cell: CoverageRow | GapRow, seen_from: date) -> str:
    """How far a player has met a combination: `never met`, `not met lately, last on 3 October`, `6 balls, 4 to go`."""
    if cell.last_met_on is None:
        return "never met"
    match cell.status:
        case "stale":
            return f"not met lately, last on {day(cell.last_met_on, seen_from)}"
        case "touched":
            return f"{balls(cell.balls)}, {cell.need_balls} more to go"
    return balls(cell.balls)


def feed_next(gap: GapRow, seen_from: date) -> str:
    """One line of what to feed next, with the reason."""
    said = combination(gap.words)
    return f"{said[:1].upper()}{said[1:]} — {why_next(gap, seen_from)}"


def why_next(gap: GapRow, seen_from: date) -> str:
    """Why a ball is wanted next: `never met`, `last met on 3 May`, `met enough, but weak: about 55 in 100 ...`."""
    if gap.why != "weak" or (rate := gap.shrunk) is None:
        return met_how(gap, seen_from)
    return (
        f"met enough, but weak: about {in_100(rate.value)} "
        f"(range {range_in_100(rate.low, rate.high)}; {balls(gap.judged_balls)})"
    )


def pair_gap(first: str, other: str, missing: Iterable[MissingPairRow]) -> str:
    """Which pairs of values of two dimensions are missing: `topspin from the middle`, ..."""
    gaps = (f"{phrase(first, row.value)} with {phrase(other, row.other_value)}" for row in missing)
    return "; ".join(gaps)


def coverage_only(variety: VarietyRow, settings: Settings) -> str | None:
    """Why the spread over the grid is not told; None where it is."""
    if variety.cells is None or variety.effective_conditions is not None:
        return None
    return (
        f"Coverage only: too few balls to tell how they were spread. {balls(variety.balls_in_grid)} fell into the "
        f"grid; it takes {settings.spread_balls} for each of its {variety.cells} combinations."
    )


def combined(spread: Spread) -> str:
    """Whether the values came up freely with each other: what even shares of every single value can hide."""
    together, freely = spread.effective_conditions, spread.freely_combined
    if f"{together:.1f}" == f"{freely:.1f}":
        return "The values were combined freely: none is tied to another."
    return (
        f"Combined freely, the same depths, sides, spins and so on would make {freely:.1f} combinations; they came "
        f"together as {together:.1f}, because some values are tied to others."
    )


def spread(found: Spread) -> list[str]:
    """How the balls were spread over the grid, beyond the effective number."""
    sentences = [
        f"**Really different balls: {found.distinct_conditions:.1f} of at most "
        f"{found.most_distinct_conditions:.1f}**. Two that differ little, as in slow and medium tempo alone, count as "
        "less than two.",
        f"**Often fed: {found.dominant_conditions:.1f} combinations**, if those of few balls hardly count.",
        f"**Distance from the plan {found.plan_distance:.2f}**: 0 would be the wanted mix, 1 nothing in common. "
        f"{in_100(found.share_to_move)} balls would have to be others to meet it.",
    ]
    if found.evenness is None:
        return sentences
    even = f"**Evenness {found.evenness:.2f}**: 1 would be the same number of balls in every combination."
    return [even, *sentences]


def equally_many(row: EqualBallsRow) -> str:
    """How varied the balls are at the number that everybody had."""
    return (
        f"**At equal balls: about {row.expected_conditions:.1f} combinations** among {balls(row.equal_balls)}, the "
        "fewest that anybody in the club had. One more ball would be of a kind among them in "
        f"{100 * row.expected_coverage:.0f} of 100 cases."
    )


def doubtful_lengths(most: DoubtfulRow) -> str:
    """How many balls carry a length that they cannot have, the kind most fed of them, and what becomes of the word."""
    kind = f"{phrase('spin', most.spin)}, {phrase('length', most.length)}"
    return (
        f"**{balls(most.doubtful_balls)} in this window are of doubtful length**, most of them {kind} from "
        f"{verbatim(most.setup_id)}, {_instead(most.length_by_physics)}. The log keeps the word as it was written."
    )


def _instead(length: str | None) -> str:
    if length is None:
        return "which by no calculation carries just so far"
    return f"which by every calculation would be {label(length)}"


def success(row: SuccessRow | None, settings: Settings) -> str:
    """How often the ball landed where the drill asked, with its counts and range."""
    if row is None:
        return "No balls in this window."
    counts = f"{row.good:,} of {balls(row.balls)}"
    if (rate := row.success) is None:
        return f"{counts}: not enough balls yet for a rate (it takes {settings.rate_balls})."
    return f"{in_100(rate.value)} ({counts}; range {range_in_100(rate.low, rate.high)})."


def worth(row: SuccessRow) -> str:
    """What balls that resemble each other are worth: `120 balls tell as much as 45 single ones.`"""
    return f"{balls(row.balls)} tell as much as {row.effective_balls:,.0f} single ones."


def likeness(club: LikenessRow, settings: Settings) -> str:
    """How alike balls of one block, and of one session, are in this club; whether that was seen or is assumed."""
    scale = "0: every ball stands for itself; 1: a block counts as one ball"
    if club.is_assumed:
        return (
            f"Balls of one block are assumed to be alike by {club.likeness:.2f} ({scale}). That is a setting: this "
            f"club's log holds {club.comparisons} of the {settings.likeness_comparisons} comparisons between blocks "
            f"that it takes to tell. {form_of_the_day(club, settings)}"
        )
    return (
        f"In this club balls of one block are alike by {club.likeness:.2f} ({scale}), as seen in "
        f"{club.comparisons:,} comparisons between blocks. {form_of_the_day(club, settings)}"
    )


def form_of_the_day(club: LikenessRow, settings: Settings) -> str:
    """How much of the likeness of a block all blocks of its session share, and whether that was seen or is assumed."""
    shared = "the form of the day, which all blocks of a session share"
    if club.session_is_assumed:
        return (
            f"Half of that is taken to be {shared}: the log holds {club.session_comparisons} of the "
            f"{settings.likeness_comparisons} comparisons between sessions that it takes to tell."
        )
    return (
        f"Of that, {club.session_likeness:.2f} is {shared}, as seen in {club.session_comparisons:,} comparisons "
        "between sessions."
    )


def on_wanted_mix(row: MixRow | None) -> str:
    """Success if the balls came in the shares of the target, and for how much of it the figure speaks."""
    if row is None or (rate := row.success) is None:
        return "On the wanted mix: not enough balls yet."
    return (
        f"On the wanted mix of balls: {in_100(rate.value)} (range {range_in_100(rate.low, rate.high)}; "
        f"{balls(row.balls)}). It speaks for {in_100(row.target_share_seen)} of that mix; the rest was not met."
    )


def session_swing(sessions: Iterable[SessionRow], seen_from: date) -> str:
    """The lowest and the highest single session."""
    found = furthest_apart(sessions, attrgetter("rate"))
    if found is None:
        return "There are not yet two sessions with enough balls to compare."
    low, high = (
        f"{in_100(rate)} ({day(session.session_date, seen_from)}, {balls(session.balls)})" for rate, session in found
    )
    return f"Single sessions: the lowest {low}, the highest {high}."


def order_seen(row: OrderRow) -> str:
    """In what order the balls of a session came."""
    orders = {
        "blocked": "blocked: the same ball many times, then the next",
        "serial": "serial: changing in a way one can guess",
        "random": "mixed: the next ball was hard to guess",
        None: "too few balls or one kind of ball only: no order to see",
    }
    return orders[row.order_seen]


ORDER_EVIDENCE = (
    "Reported, never scored. In the laboratory, mixed practice clearly helped people to keep what they learnt and to "
    "use it elsewhere (Shea & Morgan 1979). Outside it the gain was next to nothing, and in the young none that could "
    "be told from chance (54 studies: Czyż et al. 2024, Scientific Reports 14:15974). Mixed practice usually looks "
    "worse on the day: judge it by a test some days later."
)
"""The evidence on the order of practice, stated fairly."""


def orders_in_short(rows: Iterable[OrderRow]) -> str:
    """How many of the sessions had which order: `Of 8 sessions logged ball by ball: 6 serial, 2 mixed.`"""
    names = {"blocked": "blocked", "serial": "serial", "random": "mixed", None: "without an order to see"}
    seen = [row.order_seen for row in rows]
    counts = tally(seen)
    told = [f"{counts[order]} {name}" for order, name in names.items() if order in counts]
    return f"Of the last {sessions(len(seen))} logged ball by ball: {', '.join(told)}."


def standing_out(rows: Iterable[ErrorRow]) -> list[str]:
    """The mistakes that are clearly more frequent on one spin than on the player's others."""
    found = [row for row in rows if row.stands_out]
    return [
        f"**{label(row.outcome).capitalize()}** on **{label(row.spin)}**: {in_100(row.share)} "
        f"({row.balls:,} of {balls(row.noted_balls)}; range {range_in_100(row.low, row.high)})"
        for row in sorted(found, key=lambda row: -float(row.share))
    ]


def chart_alt(what: str, rows: Iterable[SuccessRow], settings: Settings) -> str:
    """A chart of success by value in words, for who cannot see it."""
    told = (f"{label(row.value)} {success(row, settings).removesuffix('.')}" for row in rows)
    return f"{what}: {'; '.join(told)}."
