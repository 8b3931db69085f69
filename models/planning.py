"""The blocks of a player's next session: of the gaps those that bring most for each minute, as far as these go.

Nothing here promises what is learnt. The order of blocks is that of the shortest way for the feeder; within a place it
is that of the rank.
"""

from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise, permutations

from models.locks import NO_LOCKS, Locks
from models.planned import Drill, Gap, LeftOut, Plan, PlannedBlock, Stand, WhyLeftOut
from models.settings import Settings
from models.stance import distance_cm
from models.worth import Cell, Shortfall, assumed_bpm, block_balls

MOST_SETUPS = 6
"""Setting: places of the feeder in one session; so few that every way between them can be tried."""

MOST_MIXED = 4
"""Setting: kinds of ball that are mixed in one block; more are hard to feed and to keep apart while counting."""

WITHIN_MINUTES = 1e-9
"""A block takes so long at least, so that what it brings can be divided by it."""

WITHIN_CM = 1e-6
"""Ways that differ by less are equally long: sums of doubles depend on their order."""


def plan(
    gaps: Iterable[Gap],
    shortfall: Shortfall,
    stands: Iterable[Stand],
    minutes: float,
    settings: Settings,
    locks: Locks = NO_LOCKS,
) -> Plan:
    """The next session of so many minutes, of what brings a player most for each of them.

    `shortfall` is how the player stands to all that is wanted, the gaps among it (see `models.worth`). One after the
    other comes the gap that is worth most for each minute that it would add, a move of the feeder included; of equals
    the first in rank. This is done from every place where the feeder could begin, and the best of these plans is taken.
    A gap gets the balls that it needs to be covered, at least `planned_balls`; from a setup that is in the plan
    already, else from the nearest to those. Every gap is in one block, or left out for one reason. What must be in is
    planned before all else, as far as there is time and a setup for it.
    """
    ranked, by_code = sorted(gaps, key=lambda gap: gap.rank), sorted(stands, key=lambda stand: stand.setup)
    best = _best_draft(ranked, _Draft(shortfall, by_code), minutes, settings, locks)
    chosen = {drill.gap.rank for drill in best.drills}
    left_out = (
        LeftOut(gap, "not_today" if gap.cell in locks.not_today else best.why_not(gap))
        for gap in ranked
        if gap.rank not in chosen
    )
    return replace(arranged(best.drills, settings), left_out=tuple(left_out))


def _best_draft(ranked: Sequence[Gap], empty: "_Draft", minutes: float, settings: Settings, locks: Locks) -> "_Draft":
    """From the best place to begin, first what must be in, then all that is free."""
    free = [gap for gap in ranked if gap.cell not in locks.not_today]
    first = [gap for gap in free if gap.cell in locks.must]
    others = [gap for gap in free if gap.cell not in locks.must]
    drafts = [
        replace(empty, begins_at=start).filled(first, minutes, settings).filled(others, minutes, settings)
        for start in _starts(empty.stands)
    ]
    return max(drafts, key=lambda draft: _how_good(draft, locks.must), default=empty)


def arranged(drills: Iterable[Drill], settings: Settings) -> Plan:
    """Drills as blocks: the setups by the shortest way for the feeder, of equally short ones by rank; then by rank."""
    drills = sorted(drills, key=lambda drill: drill.gap.rank)
    way = shortest_way(_used(drills))
    blocks = sorted(_blocks(drills, settings), key=lambda block: way.index(block.stand))
    return Plan(tuple(blocks), _minutes(drills, settings))


def shortest_way(stands: Sequence[Stand]) -> tuple[Stand, ...]:
    """All of at most `MOST_SETUPS` places, each once, with the least way between them; the feeder may begin anywhere.

    Of equally short ways the one that comes first in the order of the places given. All are tried.
    """
    return min(permutations(stands), key=lambda way: round(way_cm(way) / WITHIN_CM))


def way_cm(stands: Iterable[Stand]) -> float:
    """How far the feeder is moved in all, as the crow flies."""
    return sum(distance_cm(one.place, other.place) for one, other in pairwise(stands))


def _starts(stands: Iterable[Stand]) -> list[Stand]:
    """One setup for each depth and side; two that stand alike to the player bring the same."""
    return list({(stand.depth, stand.side): stand for stand in stands}.values())


@dataclass(frozen=True)
class _Draft:
    """Drills chosen so far, what they are worth, and how the player would stand after them."""

    shortfall: Shortfall
    stands: Sequence[Stand]
    begins_at: Stand | None = None
    drills: tuple[Drill, ...] = ()
    used: tuple[Stand, ...] = ()
    minutes: float = 0.0
    worth: float = 0.0

    def filled(self, gaps: Iterable[Gap], minutes: float, settings: Settings) -> "_Draft":
        """With one gap after the other, as long as one fits."""
        draft, waiting = self, list(gaps)
        while (drill := draft._next(waiting, minutes, settings)) is not None:
            draft = draft._with(drill, settings)
            waiting.remove(drill.gap)
        return draft

    def why_not(self, gap: Gap) -> WhyLeftOut:
        """Why one that is left had no place."""
        fitting = [stand for stand in self.stands if gap.is_fed_from(stand)]
        if not fitting:
            return "no_setup"
        is_beyond = len(self.used) >= MOST_SETUPS and not any(stand in self.used for stand in fitting)
        return "too_many_moves" if is_beyond else "no_time"

    def _next(self, gaps: Iterable[Gap], minutes: float, settings: Settings) -> Drill | None:
        """The drill that brings most for each minute that it adds; of equals the first given."""
        drills = (drill for gap in gaps if (drill := self._drill(gap, settings)) is not None)
        timed = ((drill, self._added_minutes(drill, settings)) for drill in drills)
        fitting = [(drill, added) for drill, added in timed if round(self.minutes + added, 9) <= minutes]
        best, _ = max(fitting, key=self._worth_per_minute, default=(None, 0.0))
        return best

    def _worth_per_minute(self, timed: tuple[Drill, float]) -> float:
        drill, added_minutes = timed
        return round(self.shortfall.worth(drill.gap.cell, drill.balls) / max(added_minutes, WITHIN_MINUTES), 12)

    def _drill(self, gap: Gap, settings: Settings) -> Drill | None:
        """A gap as it would be fed next; None where no setup stands so, or the feeder would move too often."""
        allowed = self.stands if 0 < len(self.used) < MOST_SETUPS else self.used or filter(None, [self.begins_at])
        stand = stand_for(gap, allowed, self.used)
        return drill_of(gap, stand, settings) if stand is not None else None

    def _added_minutes(self, drill: Drill, settings: Settings) -> float:
        """Of its balls, of the pause where it begins a block, and of the move where it needs one."""
        alike = [other for other in self.drills if drill.gap.why == "weak" and _together(other) == _together(drill)]
        pause_minutes = 0.0 if len(alike) % MOST_MIXED else settings.block_pause_minutes
        moves = bool(self.used) and drill.stand not in self.used
        return drill.balls / drill.tempo_bpm + pause_minutes + moves * settings.feeder_move_minutes

    def _with(self, drill: Drill, settings: Settings) -> "_Draft":
        cell, drills = drill.gap.cell, (*self.drills, drill)
        return replace(
            self,
            shortfall=self.shortfall.after(cell, drill.balls),
            drills=drills,
            used=tuple(_used(drills)),
            minutes=self.minutes + self._added_minutes(drill, settings),
            worth=self.worth + self.shortfall.worth(cell, drill.balls),
        )


def _how_good(draft: _Draft, must: frozenset[Cell]) -> tuple[float, ...]:
    """How much of what must be in it has; its worth; of equals that of more gaps, then the shorter, then by the way."""
    way, held = shortest_way(draft.used), sum(drill.gap.cell in must for drill in draft.drills)
    return held, round(draft.worth, 12), len(draft.drills), -round(draft.minutes, 9), -round(way_cm(way) / WITHIN_CM)


def stand_for(gap: Gap, stands: Iterable[Stand], used: Sequence[Stand]) -> Stand | None:
    """From where a gap is fed: a setup that is in use already, else the nearest to those; None where none stands so."""

    def how_far(stand: Stand) -> tuple[bool, float, str]:
        away_cm = min((distance_cm(stand.place, other.place) for other in used), default=0.0)
        return stand not in used, away_cm, stand.setup

    fitting = [stand for stand in stands if gap.is_fed_from(stand)]
    return fitting[0] if len(fitting) == 1 else min(fitting, key=how_far, default=None)


def drill_of(gap: Gap, stand: Stand, settings: Settings) -> Drill:
    """A gap as it is fed from a setup: with the balls that it needs, at the tempo that is assumed."""
    return Drill(gap, stand, block_balls(gap.need_balls, settings), assumed_bpm(gap.words.get("tempo_band"), settings))


def _used(drills: Iterable[Drill]) -> list[Stand]:
    """The places of the feeder, each once, in the order in which they come up."""
    return list(dict.fromkeys(drill.stand for drill in drills))


def _minutes(drills: Sequence[Drill], settings: Settings) -> float:
    moves = max(len(_used(drills)) - 1, 0)
    return sum(block.minutes for block in _blocks(drills, settings)) + moves * settings.feeder_move_minutes


def _blocks(drills: Iterable[Drill], settings: Settings) -> Iterator[PlannedBlock]:
    """Each drill in a block of its own, but those of balls that are covered already: mixed, if place and tempo agree.

    A ball that is new, or not met lately, is fed many times first: a habit of coaching (common practice, no source).
    """
    together: dict[Hashable, list[Drill]] = {}
    for drill in drills:
        together.setdefault(_together(drill), []).append(drill)
    for alike in together.values():
        for first in range(0, len(alike), MOST_MIXED):
            yield block_of(alike[first : first + MOST_MIXED], settings)


def _together(drill: Drill) -> Hashable:
    """Drills for which this is the same may be mixed in one block."""
    return drill.stand, drill.tempo_bpm, None if drill.gap.why == "weak" else drill.gap.rank


def block_of(drills: Sequence[Drill], settings: Settings) -> PlannedBlock:
    """Drills as one block, with the minutes that it takes."""
    feeding_minutes = sum(drill.balls / drill.tempo_bpm for drill in drills)
    return PlannedBlock(tuple(drills), feeding_minutes + settings.block_pause_minutes)
