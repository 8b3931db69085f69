"""What is said of a plan for the next session: how long it takes, where the feeder goes, what is left out and why."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from dashboard.rows.plans import Proposal
from dashboard.words.phrases import balls, combination, day
from dashboard.words.sentences import feed_next, why_next
from models.kept_plan import KeptBlock, KeptPlan
from models.planned import Drill, Gap, LeftOut, Plan, PlannedBlock, Stand
from models.planning import MOST_SETUPS
from models.settings import Settings
from models.stance import distance_cm
from models.worth import assumed_bpm

ORDER_WORDS = {"blocked": "one kind of ball", "serial": "one after the other", "random": "mixed"}

MIXED = (
    "Balls that are covered already are mixed where they come from one place at one tempo; a ball that is new, or was "
    "not met lately, is fed by itself. That is a habit of coaching, not a finding."
)

HOW_MADE = (
    "Of what the player lacks, the ball comes next that brings most for each minute that it takes, a move of the "
    "feeder included: how much of it is wanted, times how much is missing, times how long it was not met, and never "
    "met before all else; values that were not yet met together count beside it. What no longer fits into the minutes "
    "is left out. The places of the feeder come in the order of the shortest way between them, "
    f"{MOST_SETUPS} at most (a setting). Counted from the day that the plan is for. What the log brings later does not "
    "change a plan that is kept."
)

OLD_AFTER_DAYS = 7
"""Setting: a log that ends longer before the day that is asked about is called old."""

DONE_RULE = (
    "A block counts as done once all its balls were fed: at the table since the plan was made, or by a file that has "
    "them on the day of the plan. What was not done is lacking still, and is planned again."
)

PAST_RULE = (
    "A block of a past plan counts as done by the balls that were fed on its day, at the table since the plan was made "
    "or by a file. What was not done is lacking still, and comes back in the next plan."
)

USES = (
    *("planned_balls", "block_pause_minutes", "feeder_move_minutes", "slow_below_bpm", "fast_from_bpm"),
    *("covered_balls", "window_days", "closing_minutes"),
)
"""The settings behind a plan."""


def old_log(last_day: date, on: date) -> str | None:
    """That nothing is known of the last days before a day; None where the log is young enough."""
    days = (on - last_day).days
    if days <= OLD_AFTER_DAYS:
        return None
    return (
        f"The log is old: it ends on {day(last_day, on)}, {days} days before. What was fed since is not known, and "
        "counts as not met."
    )


def log_end(last_day: date, on: date) -> str:
    """The same in few words, to stand behind others: ` (the log ends on 3 March)`; nothing where it is young enough."""
    return f" (the log ends on {day(last_day, on)})" if old_log(last_day, on) else ""


def in_short(plan: Plan) -> str:
    """How much a plan is: `6 blocks, 180 balls, about 17 minutes; the feeder is moved twice.`"""
    moved = {0: "the feeder stays where it stands", 1: "the feeder is moved once", 2: "the feeder is moved twice"}
    moves = moved.get(len(plan.moves), f"the feeder is moved {len(plan.moves)} times")
    return f"{_blocks(plan.blocks)}, {balls(plan.balls)}, about {minutes(plan.minutes)}; {moves}."


def _blocks(blocks: Sequence[PlannedBlock] | Sequence[KeptBlock]) -> str:
    return f"{len(blocks)} block{'' if len(blocks) == 1 else 's'}"


def minutes(count: float) -> str:
    """So many minutes, rounded: `1 minute`, `17 minutes`."""
    whole = max(round(count), 1)
    return f"{whole:,} minute{'' if whole == 1 else 's'}"


def how_counted(settings: Settings) -> str:
    """How the minutes of a plan are counted."""
    return (
        f"Counted with {settings.block_pause_minutes:g} minutes for each block beside its balls, "
        f"{settings.feeder_move_minutes:g} for each move of the feeder, and a tempo within the wanted band; where the "
        f"target leaves the tempo open, {assumed_bpm(None, settings):g} balls a minute."
    )


def setup_called(code: str, setups: Mapping[str, str]) -> str:
    """A setup by name and code: `back centre (BC)`."""
    name = setups.get(code, code)
    return code if name == code else f"{name} ({code})"


def block_head(block: PlannedBlock) -> str:
    """What a block is: `30 balls, one kind of ball, about 3 minutes`."""
    return f"{balls(block.balls)}, {ORDER_WORDS[block.order]}, about {minutes(block.minutes)}"


def move(before: Stand, after: Stand, setups: Mapping[str, str]) -> str:
    """From where to where the feeder is moved, and how far."""
    away_cm = distance_cm(before.place, after.place)
    there = setup_called(after.setup, setups)
    if away_cm < 1:
        return f"Change the feeder to {there}; it stands at the same place."
    return f"Move the feeder from {setup_called(before.setup, setups)} to {there}: {away_cm:.0f} cm."


def left_out(plan: Plan) -> list[str]:
    """What is not in the plan, by the reason; the first of each by name."""
    sentences = {
        "no_time": "no time is left for {}",
        "too_many_moves": f"the feeder would have to go to more than {MOST_SETUPS} places for {{}}",
        "no_setup": "no setup of the club stands so for {}",
        "taken_out": "you took out {}",
        "not_today": "not for today, as you decided, {}",
    }
    by_reason = {why: [one for one in plan.left_out if one.why == why] for why in sentences}
    return [_left_out(sentences[why], rest) for why, rest in by_reason.items() if rest]


def gap_in_words(gap: Gap, proposal: Proposal) -> str:
    """A gap in words, and why it is one."""
    row = proposal.gaps.get(gap.rank)
    return feed_next(row, proposal.on) if row else combination(gap.words)


def why_shortly(drill: Drill, proposal: Proposal) -> str:
    """Why a ball is in a plan, in a few words: `never met`."""
    row = proposal.gaps.get(drill.gap.rank)
    if row is None:
        return NO_GAP.get(drill.gap.why, "your choice")
    return "met enough, but weak" if row.why == "weak" else why_next(row, proposal.on)


def why_in(drill: Drill, proposal: Proposal) -> str:
    """A ball of a plan in words, and why it is there: `From the back, topspin, low over the net — never met`."""
    row = proposal.gaps.get(drill.gap.rank)
    if row is not None and not drill.more:
        return feed_next(row, proposal.on)
    said = combination(drill.words) or "any ball"
    why = why_next(row, proposal.on) if row is not None else NO_GAP.get(drill.gap.why, "your choice")
    return f"{said[:1].upper()}{said[1:]} — {why}"


NO_GAP = {"chosen": "your choice", "met_before": "met before", "pattern": "of the pattern"}
"""Why a ball is in a plan that is none of the gaps."""


def _left_out(sentence: str, rest: Sequence[LeftOut]) -> str:
    first = combination(rest[0].gap.words)
    kinds = "1 kind of ball" if len(rest) == 1 else f"{len(rest)} kinds of ball"
    which = f"{kinds} ({first})" if len(rest) == 1 else f"{kinds} (the first: {first})"
    return f"Left out: {sentence.format(which)}."


def kept_head(kept: KeptPlan, seen_from: date) -> str:
    """For when a kept plan is, by whom, and how far it is done: `For today, by M. Roe: 5 blocks, ...`"""
    by = f", by {kept.maker}" if kept.maker else ""
    progress = f", {kept.done} of them done" if kept.done else ""
    when = "today" if kept.meant_for == seen_from else day(kept.meant_for, seen_from)
    return f"For {when}{by}: {_blocks(kept.blocks)}{progress}, {balls(kept.balls)}, about {minutes(kept.minutes)}."


def past_line(kept: KeptPlan, seen_from: date) -> str:
    """What of a past plan was done: `14 March, by M. Roe: 2 of 3 blocks done, 70 of 90 balls`."""
    by = f", by {kept.maker}" if kept.maker else ""
    blocks = f"{kept.done} of {_blocks(kept.blocks)}"
    return f"{day(kept.meant_for, seen_from)}{by}: {blocks} done, {kept.balls_done:,} of {balls(kept.balls)}"


def kept_in_short(kept: KeptPlan) -> str:
    """How much a kept plan is: `6 blocks, 180 balls, about 17 minutes`."""
    return f"{_blocks(kept.blocks)}, {balls(kept.balls)}, about {minutes(kept.minutes)}"


def kept_lines(kept: KeptPlan, setups: Mapping[str, str]) -> Iterator[str]:
    """The blocks of a kept plan, one line each; a done one says so, and one that was begun how far it is."""
    for block in kept.blocks:
        done = "done: " if block.is_done else f"{how_far(block)}: " if block.fed else ""
        yield f"{done}{_kept_kinds(block)}: {setup_called(str(block.kinds[0].feed['setup']), setups)}"


def how_far(block: KeptBlock) -> str:
    """How many of a block's balls were fed: 20 of 30."""
    return f"{block.fed} of {block.balls}"


def _kept_kinds(block: KeptBlock) -> str:
    kinds = [f"{balls(kind.balls)} {combination(kind.wanted)}" for kind in block.kinds]
    return kinds[0] if len(kinds) == 1 else f"mixed: {'; '.join(kinds)}"
