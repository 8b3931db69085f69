"""What is said of a plan of the hall: how good it is, who waits how long, what is not in it."""

from collections.abc import Iterator, Mapping
from math import isinf

from dashboard.rows.halls import HallSession
from dashboard.words.phrases import balls, combination, listed, verbatim
from dashboard.words.plan import minutes
from models.hall.asked import AGAIN
from models.hall.kept import KeptHall
from models.hall.told import HallPlan, TableSlot, Turn

ROLES = {"robot": "the feeder feeds", "multiball": "a coach feeds", "partner": "a partner feeds"}

HOW_MADE = (
    "Every child gets the balls that bring it nearest to its target, as in a plan for one player, and what is lacking "
    "most counts once more: it is in wherever a table can feed it. Children who lack balls from one place are brought "
    "together there, and a feeder is moved only where that brings more than a most wanted ball for the minutes it "
    "takes. Nobody waits longer and nobody gets fewer balls than the settings allow; where that cannot be, it is said."
)

WAITS = "Waiting: from the end of a child's turn to its next, breaks left out. Whoever waits gathers, feeds or rests."


def in_short(plan: HallPlan) -> str:
    """How much it is: `10 players at 2 tables, 7 slots of 9 minutes; a feeder is moved 3 times.`"""
    moved = {0: "no feeder is moved", 1: "a feeder is moved once", 2: "a feeder is moved twice"}
    moves = moved.get(plan.moves, f"a feeder is moved {plan.moves} times")
    slot = plan.slots[0].minutes if plan.slots else 0
    tables = f"{len(plan.stations)} table{'' if len(plan.stations) == 1 else 's'}"
    players = f"{len(plan.children)} player{'' if len(plan.children) == 1 else 's'}"
    slots = f"{len(plan.slots)} slot{'' if len(plan.slots) == 1 else 's'}"
    return f"{players} at {tables}, {slots} of {minutes(slot)}; {moves}."


def for_everyone(session: HallSession) -> str:
    """What each gets, and how long anybody waits."""
    plan = session.plan
    counts = sorted(plan.balls_of(player) for player in plan.children)
    each = balls(counts[0]) if counts[0] == counts[-1] else f"{counts[0]} to {balls(counts[-1])}"
    return f"Everyone gets {each}; the longest wait for a turn is {minutes(plan.longest_wait)}."


def cautions_of(session: HallSession) -> Iterator[str]:
    """What is not as it was asked for: who waits longer, who has no place, and whose most wanted ball is not in."""
    plan = session.plan
    if not plan.keeps_wait:
        yield (
            f"With {len(plan.children)} players at {len(plan.stations)} tables somebody waits "
            f"{minutes(plan.longest_wait)}; {minutes(plan.asked_wait_minutes)} were asked for. Another table helps."
        )
    if plan.without_a_place:
        yield f"No table here can feed what is wanted of {listed(session.names[one] for one in plan.without_a_place)}."
    for player, left_out in plan.left_out.items():
        first = next((one for one in left_out if one.gap.rank == 1), None)
        if first:
            yield f"Not fitted in: {combination(first.gap.words)} for {session.names[player]}, {WHY_NOT[first.why]}."


WHY_NOT = {
    "no_time": "who lacks it most: there is no time for it",
    "no_setup": "who lacks it most: no table here stands so",
    "too_many_moves": "who lacks it most: the feeder would be moved too often",
}


def how_good(gap: float) -> str:
    """Whether a better plan is possible."""
    if isinf(gap):
        return "A plain plan, at once: a better one may be possible."
    if gap <= 1e-6:
        return "Proven: no other plan of this hall brings more."
    if gap > MOST_TOLD_GAP:
        return f"{FOUND} It is not known how much a better one could bring."
    return (
        f"{FOUND} Another with as many of the most wanted balls in it could bring at most {100 * gap:.0f} % more, "
        "and mostly less: that limit is reckoned as if children and tables could be in two places in part."
    )


FOUND = "The best plan that was found in this time; that there is no better one is not proven."

MOST_TOLD_GAP = 1.0
"""A limit of more than twice what the plan brings says nothing."""


def who_plays(session: HallSession, table: TableSlot) -> str:
    """`Ada Lind, Bo Ek`."""
    return ", ".join(session.names[player] for player in table.players)


def turn_line(session: HallSession, turn: Turn) -> str:
    """`18:03 Ada Lind: 30 balls of topspin from the back; Bo Ek gathers`."""
    roles = [f"{session.names[one]} {does}" for one, does in ((turn.feeds, "feeds"), (turn.gathers, "gathers")) if one]
    again = " (covered already)" if turn.drill.gap.why == AGAIN else ""
    said = f"{balls(turn.drill.balls)}: {combination(turn.drill.gap.words)}{again}"
    return "; ".join([f"{session.at(turn.begin):%H:%M} {session.names[turn.player]}: {said}", *roles])


def fed_of_planned(kept: KeptHall, names: Mapping[str, str]) -> str:
    """For each child the balls that were fed of those planned."""
    told = (f"{verbatim(names.get(p, p))} {fed} of {planned}" for p, (fed, planned) in kept.balls_by_player.items())
    return f"Balls fed of those planned: {', '.join(told)}."
