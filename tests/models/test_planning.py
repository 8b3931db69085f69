"""The next session: what comes first, from where, how long it takes, and what is left out."""

from dataclasses import replace
from itertools import permutations
from math import dist

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models import planning
from models.locks import Locks
from models.planned import Gap, Plan, Stand, feed_of
from models.planning import MOST_MIXED, MOST_SETUPS, shortest_way, way_cm
from models.settings import Settings
from models.stance import Place
from models.words import DEPTH, SIDE
from models.worth import Shortfall, Wanted, assumed_bpm, cell_of
from tests.proofs import examples

SETTINGS = Settings(planned_balls=30, block_pause_minutes=2, feeder_move_minutes=3)

BACK = Stand("BC", "back", "centre", Place(-15, 0))
MIDDLE = Stand("MR", "middle", "forehand", Place(60, 50))
NEAR = Stand("NC", "near", "centre", Place(105, 0))
STANDS = [BACK, MIDDLE, NEAR]


def gap(rank: int, need_balls: int = 10, why: str = "never_met", **words: str) -> Gap:
    return Gap(rank, words, need_balls, why)


def plan(gaps: list[Gap], stands: list[Stand], minutes: float, settings: Settings) -> Plan:
    """A plan for a player to whom nothing but these gaps is wanted, each as much as the others."""
    return planning.plan(gaps, shortfall(gaps, settings), stands, minutes, settings)


def shortfall(gaps: list[Gap], settings: Settings) -> Shortfall:
    return Shortfall.on_a_day([wanted(one, 1 / len(gaps), settings) for one in gaps], settings)


def wanted(one: Gap, share: float, settings: Settings) -> Wanted:
    balls = max(settings.covered_balls - one.need_balls, 0)
    return Wanted(one.words, share, balls, None if one.why == "never_met" else 0, one.why == "weak")


def told(made: Plan) -> list[tuple[str, list[int]]]:
    """Each block as its setup and the ranks of its gaps."""
    return [(block.stand.setup, [drill.gap.rank for drill in block.drills]) for block in made.blocks]


def test_a_plan_worked_by_hand():
    """30 balls at the 50 a minute of an open tempo are .6 minutes; 2 for each block, 3 for the one move: 10.8."""
    gaps = [gap(1, depth="back"), gap(2, depth="near"), gap(3, depth="back", spin="topspin")]

    made = plan(gaps, STANDS, 60, SETTINGS)

    assert told(made) == [("BC", [1]), ("BC", [3]), ("NC", [2])]
    assert [block.order for block in made.blocks] == ["blocked"] * 3
    assert made.moves == ((BACK, NEAR),)
    assert (made.balls, made.minutes) == (90, pytest.approx(10.8))
    assert made.left_out == ()


@pytest.mark.parametrize(
    ("minutes", "planned", "left_out"),
    [
        (2.5, [], [1, 2, 3]),
        (2.6, [3], [1, 2]),  # The third brings two values together, and is worth more in as many minutes.
        (5.2, [1, 3], [2]),  # The move for the second costs more than the third.
        (8.1, [1, 3], [2]),
        (10.8, [1, 3, 2], []),
    ],
)
def test_what_does_not_fit_into_the_minutes_is_left_out_and_said_so(minutes, planned, left_out):
    gaps = [gap(1, depth="back"), gap(2, depth="near"), gap(3, depth="back", spin="topspin")]

    made = plan(gaps, STANDS, minutes + 1e-9, SETTINGS)

    assert [drill.gap.rank for drill in made.drills] == planned
    assert [(one.gap.rank, one.why) for one in made.left_out] == [(rank, "no_time") for rank in left_out]


def test_a_ball_from_where_no_feeder_stands_is_left_out_and_said_so():
    made = plan([gap(1, depth="near", side="backhand")], STANDS, 60, SETTINGS)

    assert made.blocks == ()
    assert [one.why for one in made.left_out] == ["no_setup"]


def test_the_feeder_goes_to_no_more_places_than_so_many():
    stands = [Stand(f"S{i}", "back", "centre", Place(10 * i, 0)) for i in range(MOST_SETUPS)]
    more = [replace(stand, setup=f"T{i}", depth="near") for i, stand in enumerate(stands)]
    one_each = [Stand(f"U{i}", depth, side, Place(i, i)) for i, (depth, side) in enumerate(_places())]
    gaps = [gap(i, depth=stand.depth, side=stand.side) for i, stand in enumerate(one_each)]

    made = plan(gaps, one_each, 1000, SETTINGS)

    assert len(made.moves) == MOST_SETUPS - 1
    assert [one.why for one in made.left_out] == ["too_many_moves"] * (len(one_each) - MOST_SETUPS)
    assert len({s for s, _ in told(plan([gap(1), gap(2)], stands + more, 60, SETTINGS))}) == 1


def _places() -> list[tuple[str, str]]:
    return [(depth, side) for depth in DEPTH.names for side in SIDE.names]


def test_of_several_setups_that_would_do_the_one_in_the_plan_is_taken_else_the_nearest():
    far = Stand("AA", "near", "forehand", Place(100, 140))

    made = plan([gap(1, depth="middle"), gap(2, depth="near"), gap(3)], [*STANDS, far], 60, SETTINGS)

    assert told(made) == [("MR", [1]), ("MR", [3]), ("NC", [2])]


def test_a_gap_gets_the_balls_that_it_needs_and_no_fewer_than_a_block_is_worth():
    made = plan([gap(1, need_balls=45), gap(2, need_balls=1), gap(3, need_balls=0, why="weak")], STANDS, 60, SETTINGS)

    assert [drill.balls for drill in made.drills] == [45, 30, 30]


def test_balls_that_are_covered_but_weak_are_mixed_where_place_and_tempo_agree():
    weak = [gap(i, need_balls=0, why="weak", depth="back", tempo_band="slow", spin=f"spin {i}") for i in range(1, 7)]
    other = gap(7, need_balls=0, why="weak", depth="back", tempo_band="fast")
    new = gap(8, depth="back", tempo_band="slow")

    made = plan([*weak, other, new], STANDS, 60, SETTINGS)

    assert [(block.order, len(block.drills)) for block in made.blocks] == [
        ("random", MOST_MIXED),
        ("random", 6 - MOST_MIXED),
        ("blocked", 1),
        ("blocked", 1),
    ]
    assert made.blocks[0].minutes == pytest.approx(2 + MOST_MIXED * 30 / 30)


@pytest.mark.parametrize(("band", "bpm"), [("slow", 30), (None, 50), ("medium", 50), ("fast", 75)])
def test_the_assumed_tempo_lies_within_its_band(band, bpm):
    """The bands begin at 40 and 60 balls a minute; an open tempo is counted as a medium one."""
    assert assumed_bpm(band, SETTINGS) == bpm


@given(slow=st.floats(1.1, 200), fast=st.floats(1.1, 200))
def test_a_slow_and_a_fast_ball_stay_what_they_are_whatever_the_club_sets(slow, fast):
    own = Settings(slow_below_bpm=slow, fast_from_bpm=fast)

    assert 1 <= assumed_bpm("slow", own) < slow
    assert fast <= assumed_bpm("fast", own) <= 200


def test_a_feed_says_what_the_target_asks_for_and_leaves_the_rest_open():
    """The plain word stands for a family of spins; the tempo of a feed is noted only where the target names one."""
    words = {"depth": "near", "spin_family": "backspin", "spin": None, "length": "short", "tempo_band": "slow"}
    made = plan([gap(1, **words), gap(2, depth="near")], STANDS, 60, SETTINGS)

    assert feed_of(words, None) == {"spin": "backspin", "length": "short"}
    assert [drill.feed for drill in made.drills] == [
        {"setup": "NC", "spin": "backspin", "length": "short", "tempo_bpm": 30},
        {"setup": "NC"},
    ]


def test_what_must_be_in_comes_first_and_what_is_not_for_today_stays_out():
    """Without locks 2.6 minutes hold the third alone; see above."""
    gaps = [gap(1, depth="back"), gap(2, depth="near"), gap(3, depth="back", spin="topspin")]
    locks = Locks(must=frozenset({gaps[1].cell}), not_today=frozenset({gaps[2].cell}))

    short = planning.plan(gaps, shortfall(gaps, SETTINGS), STANDS, 2.6 + 1e-9, SETTINGS, locks)
    long = planning.plan(gaps, shortfall(gaps, SETTINGS), STANDS, 60, SETTINGS, locks)

    assert told(short) == [("NC", [2])]
    assert [(one.gap.rank, one.why) for one in short.left_out] == [(1, "no_time"), (3, "not_today")]
    assert {drill.gap.rank for drill in long.drills} == {1, 2}
    assert [(one.gap.rank, one.why) for one in long.left_out] == [(3, "not_today")]


words_ = st.fixed_dictionaries(
    {"depth": st.sampled_from([None, *DEPTH.names]), "side": st.sampled_from([None, *SIDE.names])},
    optional={"tempo_band": st.sampled_from([None, "slow", "medium", "fast"])},
)
gaps_ = st.lists(
    st.tuples(words_, st.integers(0, 60), st.sampled_from(["never_met", "not_lately", "weak", "too_few"])),
    max_size=25,
    unique_by=lambda one: cell_of(one[0]),
).map(lambda found: [Gap(rank, *one) for rank, one in enumerate(found, start=1)])
places_ = st.builds(Place, st.integers(-60, 120), st.integers(-100, 100))
stands_ = st.lists(st.tuples(st.sampled_from(DEPTH.names), st.sampled_from(SIDE.names), places_), max_size=9).map(
    lambda found: [Stand(f"S{i}", *one) for i, one in enumerate(found)]
)
own_settings = st.builds(
    Settings,
    planned_balls=st.integers(1, 60),
    block_pause_minutes=st.integers(0, 5),
    feeder_move_minutes=st.integers(0, 9),
)


def length_cm(stands) -> float:
    """The length of a way, by the standard library."""
    places = [(stand.place.x_cm, stand.place.y_cm) for stand in stands]
    return sum(map(dist, places, places[1:]))


@settings(max_examples=examples(20, 60))
@given(gaps=gaps_, stands=stands_, minutes=st.integers(1, 120), own=own_settings)
def test_whatever_the_gaps_and_setups_a_plan_keeps_its_promises(gaps, stands, minutes, own):
    made = plan(gaps, stands, minutes, own)
    drills, setups = made.drills, list(dict.fromkeys(block.stand for block in made.blocks))

    ranks = [drill.gap.rank for drill in drills] + [one.gap.rank for one in made.left_out]
    assert sorted(ranks) == [gap.rank for gap in gaps]
    assert made.minutes <= minutes
    for drill in drills:
        assert drill.gap.words["depth"] in (None, drill.stand.depth)
        assert drill.gap.words["side"] in (None, drill.stand.side)
        assert drill.balls >= max(drill.gap.need_balls, own.planned_balls)
    assert len(made.moves) == max(len(setups) - 1, 0), "no place is visited twice"
    assert len(setups) <= MOST_SETUPS
    shortest_cm = min(map(length_cm, permutations(setups)))
    assert length_cm(setups) == pytest.approx(shortest_cm, abs=1e-3)
    feeding = sum(drill.balls / drill.tempo_bpm for drill in drills)
    pauses = len(made.blocks) * own.block_pause_minutes + len(made.moves) * own.feeder_move_minutes
    assert made.minutes == pytest.approx(feeding + pauses)


@settings(max_examples=examples(20, 60))
@given(gaps=gaps_, stands=stands_, own=own_settings)
def test_with_time_enough_nothing_is_left_out_for_want_of_it(gaps, stands, own):
    made = plan(gaps, stands, 10_000, own)

    assert "no_time" not in {one.why for one in made.left_out}


@settings(max_examples=examples(20, 60))
@given(gaps=gaps_, stands=stands_, minutes=st.integers(1, 120), own=own_settings, data=st.data())
def test_a_plan_does_not_hang_on_the_order_in_which_gaps_and_setups_are_given(gaps, stands, minutes, own, data):
    mixed = plan(data.draw(st.permutations(gaps)), data.draw(st.permutations(stands)), minutes, own)

    assert mixed == plan(gaps, stands, minutes, own)


@settings(max_examples=examples(20, 60))
@given(gaps=gaps_, stands=stands_, minutes=st.integers(1, 120), own=own_settings)
def test_nothing_is_left_out_for_want_of_time_that_could_still_be_fed_from_where_the_feeder_stands(
    gaps, stands, minutes, own
):
    made = plan(gaps, stands, minutes, own)
    places = {block.stand for block in made.blocks}

    for gap in (one.gap for one in made.left_out if one.why == "no_time"):
        near_by = [s for s in places if gap.words["depth"] in (None, s.depth) and gap.words["side"] in (None, s.side)]
        balls = max(gap.need_balls, own.planned_balls)
        alone = balls / assumed_bpm(gap.words.get("tempo_band"), own) + own.block_pause_minutes
        assert gap.why == "weak" or not near_by or made.minutes + alone > minutes


def test_a_place_with_much_to_feed_is_worth_the_plan_more_than_the_first_in_rank():
    """Five balls from near bring more in 13 minutes than one from the back, a move, and two from near."""
    lone, rich = gap(1, depth="back"), [gap(at, depth="near", spin=f"spin {at}") for at in range(2, 7)]

    assert told(plan([lone, *rich], STANDS, 13, SETTINGS)) == [("NC", [at]) for at in range(2, 7)]


@pytest.mark.parametrize(("share_there", "fed"), [(0.01, {1, 2, 3, 4, 5}), (0.98, {1, 6})])
def test_a_move_is_made_where_it_brings_more_than_the_minutes_it_takes(share_there, fed):
    """Blocks take a minute and the move three: in five minutes five balls from here, or one and the one from there."""
    own = Settings(planned_balls=10, block_pause_minutes=0.8, feeder_move_minutes=3)
    gaps = [gap(at, why="not_lately", depth="back", spin=f"spin {at}") for at in range(1, 6)]
    gaps.append(gap(6, why="not_lately", depth="near", spin="spin 1"))
    given = [wanted(one, (1 - share_there) / 5, own) for one in gaps[:5]] + [wanted(gaps[5], share_there, own)]

    made = planning.plan(gaps, Shortfall.on_a_day(given, own), STANDS, 5, own)

    assert {drill.gap.rank for drill in made.drills} == fed


def test_of_equally_short_ways_the_one_that_begins_with_the_first_is_taken():
    """There and back are equally long, whatever the last bit of the sums says."""
    assert shortest_way([NEAR, BACK, MIDDLE])[0] in (NEAR, BACK)
    assert shortest_way([BACK, MIDDLE, NEAR]) == (BACK, MIDDLE, NEAR)
    assert shortest_way([NEAR, MIDDLE, BACK]) == (NEAR, MIDDLE, BACK)
    assert shortest_way([]) == ()
    assert way_cm([BACK]) == 0
