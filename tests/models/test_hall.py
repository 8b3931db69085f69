"""The hall plan: as good as every plan tried one by one, and never against a rule, whatever is asked."""

from dataclasses import replace
from itertools import combinations, groupby

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.hall.asked import HallAsk, Station
from models.hall.axis import NoTurnFits
from models.hall.planning import NobodyHasAPlace, first_draft
from models.hall.seating import bonus_of, broken_rules
from models.hall.solving import at_once, bettered
from models.hall.told import HallPlan
from models.hall.weighed import A_TURN, Weighed, weighed
from models.worth import Wanted
from tests.models.hall_by_trying import SETTINGS, STANDS, best_by_trying, child, of_wanted, small_ask
from tests.proofs import in_proof


class Watch:
    """A clock that goes on by a second each time that it is looked at: a search ends whatever the machine is doing."""

    def __init__(self) -> None:
        self.now = 0.0

    def __call__(self) -> float:
        self.now += 1.0
        return self.now


def best(ask: HallAsk):
    """Both answers; the second with so much time that a small session is proven."""
    plain = at_once(weighed(ask))
    return plain, bettered(plain, 60, Watch())


@pytest.mark.parametrize("seed", [*range(6), *(in_proof(seed) for seed in range(6, 200))])
def test_the_programme_finds_what_a_search_of_every_plan_finds(seed):
    """A plain slow way, written for this test (`hall_by_trying`)."""
    plain, found = best(small_ask(seed))
    tried = best_by_trying(found.weighed)

    assert found.value == pytest.approx(tried, abs=1e-6)
    assert plain.value <= tried + 1e-9
    assert found.is_best
    assert broken_rules(found.seating, found.weighed) == []


ASKS = st.builds(
    lambda children, tables, minutes, breaks, wait, most_balls, seed: HallAsk(
        tuple(child(f"child {number}", seed_of(seed, number)) for number in range(children)),
        tuple(
            Station(f"table {number}", feeding, tuple(STANDS)[-1 - number :]) for number, feeding in enumerate(tables)
        ),
        minutes,
        SETTINGS,
        breaks=breaks,
        longest_wait_minutes=wait,
        most_balls=most_balls,
    ),
    children=st.integers(1, 14),
    tables=st.lists(st.sampled_from(["robot", "multiball", "partner"]), min_size=1, max_size=3),
    minutes=st.floats(25, 150),
    breaks=st.integers(0, 2),
    wait=st.sampled_from([10.0, 30.0, 45.0]),
    most_balls=st.sampled_from([30, 120, 300]),
    seed=st.integers(0, 1000),
)


def seed_of(seed: int, number: int):
    return np.random.default_rng([seed, number])


def longest_possible_wait(limits: Weighed) -> float:
    """The idle slots that are allowed, with a change on both sides; last at one table, and last but all at the next."""
    axis = limits.axis
    idle = limits.idle_slots * (axis.slot_minutes + axis.change_minutes) + axis.change_minutes
    return idle + 2 * (axis.at_a_table - 1) * axis.turn_minutes


def overlaps(plan: HallPlan) -> list[str]:
    """Whoever is at two places at once, and every table with two turns at once."""
    roles = [
        (name, turn)
        for slot in plan.slots
        for table in slot.tables
        for turn in table.turns
        for name in {turn.player, turn.feeds, turn.gathers, f"the ball of {table.station.name}"} - {None}
    ]
    return [
        f"{name} at {one.begin} and {other.begin}"
        for (name, one), (same, other) in combinations(roles, 2)
        if name == same and one.begin < other.begin + other.minutes and other.begin < one.begin + one.minutes
    ]


@settings(max_examples=15, deadline=None)
@given(ASKS)
def test_nobody_is_at_two_places_and_the_limits_are_kept_or_told(ask):
    draft = first_draft(ask)
    for found in (draft, draft.bettered(12, Watch())):
        plan, limits = found.plan, found.answer.weighed
        mean = sum(map(plan.balls_of, plan.children)) / len(plan.children)

        assert overlaps(plan) == []
        assert plan.end <= ask.minutes + 1e-9
        assert all(turn.drill.gap.is_fed_from(turn.drill.stand) for turn in plan.turns)
        assert all(
            turn.drill.stand.setup == table.setup for s in plan.slots for table in s.tables for turn in table.turns
        )
        assert plan.longest_wait <= longest_possible_wait(limits) + 1e-9
        assert plan.keeps_wait or longest_possible_wait(limits) > ask.longest_wait_minutes
        assert min(map(plan.balls_of, plan.children)) >= limits.least_share * mean - 1e-6
        assert found.answer.value >= draft.answer.value
        assert broken_rules(found.answer.seating, limits) == []


def test_balls_that_two_lack_from_one_place_keep_the_feeder_there():
    """Two children lack the same two balls from the near centre and one from the back: the feeder moves once."""
    near = [{"depth": "near", "side": "centre", "spin_family": spin} for spin in ("topspin", "backspin")]
    back = {"depth": "back", "side": "forehand", "spin_family": "topspin"}
    wanted = [Wanted(words, 1 / 3, 0, None) for words in (*near, back)]
    children = tuple(of_wanted(code, wanted, SETTINGS) for code in ("Ada", "Bo"))
    plan = (
        first_draft(HallAsk(children, (Station("A", "robot", tuple(STANDS)),), 27.0, SETTINGS))
        .bettered(60, Watch())
        .plan
    )

    stood = [setup for setup, _ in groupby(table.setup for slot in plan.slots for table in slot.tables)]
    assert stood in (["NC", "BR"], ["BR", "NC"])
    assert [plan.balls_of(code) for code in plan.children] == [120, 120]
    assert {turn.drill.gap.cell for turn in plan.turns_of("Bo")} == {gap.cell for gap in children[1].wanted}


def test_a_ball_that_must_be_in_comes_before_what_is_worth_more():
    """One turn each: without the coach's word the ball never met is fed."""
    met = Wanted({"depth": "near", "side": "centre", "spin_family": "topspin"}, 0.5, 4, 3)
    never = Wanted({"depth": "near", "side": "centre", "spin_family": "backspin"}, 0.5, 0, None)
    ada = of_wanted("Ada", [met, never], SETTINGS)
    ask = HallAsk((ada,), (Station("A", "robot", ("NC",)),), 5.0, SETTINGS)

    fed = [
        first_draft(replace(ask, must=must)).bettered(60, Watch()).plan.turns[0].drill.gap.cell
        for must in (frozenset(), frozenset({("Ada", met.cell)}))
    ]

    assert fed == [never.cell, met.cell]


def test_how_much_better_it_could_be_is_told_of_what_the_balls_bring_and_not_of_the_coach_s_word():
    """One ball, which is the most wanted and has to be in: it counts 1 and 10 beside what it brings."""
    ball = Wanted({"depth": "near", "side": "centre", "spin_family": "topspin"}, 1, 0, None)
    ada = of_wanted("Ada", [ball], SETTINGS)
    ask = HallAsk((ada,), (Station("A", "robot", ("NC",)),), 5.0, SETTINGS, must=frozenset({("Ada", ball.cell)}))
    answer = at_once(weighed(ask))
    brings = answer.weighed.children[0].of({0}) - 11 + A_TURN

    assert bonus_of(answer.seating, answer.weighed) == 11
    assert replace(answer, bound=answer.value + brings / 4).gap == pytest.approx(0.25)


def test_what_nobody_can_feed_here_is_said_with_whom_it_concerns():
    wanted = [Wanted({"depth": depth, "side": "forehand"}, 0.5, 0, None) for depth in ("back", "near")]
    plan = first_draft(
        HallAsk((of_wanted("Ada", wanted, SETTINGS),), (Station("A", "robot", ("BR",)),), 20.0, SETTINGS)
    ).plan

    assert [(one.gap.words["depth"], one.why) for one in plan.left_out["Ada"]] == [("near", "no_setup")]


def test_who_can_be_fed_nothing_here_is_named_and_the_others_play():
    far = of_wanted("Ada", [Wanted({"depth": "back", "side": "forehand"}, 1, 0, None)], SETTINGS)
    near = of_wanted("Bo", [Wanted({"depth": "near", "side": "centre"}, 1, 0, None)], SETTINGS)
    station = Station("A", "robot", ("NC",))

    assert first_draft(HallAsk((far, near), (station,), 20.0, SETTINGS)).plan.without_a_place == ("Ada",)
    with pytest.raises(NobodyHasAPlace, match="Add a setup, or a table"):
        first_draft(HallAsk((far,), (station,), 20.0, SETTINGS))


def test_a_session_without_room_for_a_turn_is_refused_with_what_one_takes():
    with pytest.raises(NoTurnFits, match=r"A turn of 30 balls takes 3 minutes, and 2 minutes .* Give more minutes"):
        first_draft(HallAsk(small_ask(0).children[:1], small_ask(0).stations[:1], 2.0, SETTINGS))


def test_a_partner_s_table_has_one_who_feeds_and_one_who_gathers():
    children = tuple(child(f"child {number}", seed_of(1, number)) for number in range(3))
    plan = first_draft(HallAsk(children, (Station("A", "partner", tuple(STANDS)),), 60.0, SETTINGS)).plan

    assert all({turn.player, turn.feeds, turn.gathers} == {one.code for one in children} for turn in plan.turns)


def test_a_larger_hall_is_bettered_part_by_part_and_never_worse():
    """Twelve children at two tables: too many seats for one programme. The clock allows a few parts."""
    children = tuple(child(f"child {number}", seed_of(2, number)) for number in range(12))
    stations = tuple(Station(name, "robot", tuple(STANDS)) for name in "AB")
    plain, found = best(HallAsk(children, stations, 90.0, SETTINGS))

    assert plain.value < found.value <= found.bound
    assert broken_rules(found.seating, found.weighed) == []
