"""The mix that closes a session: which balls, how many, and an order that is drawn once."""

from collections import Counter
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.closing import MET_BEFORE, closing_block, drawn
from models.planned import Gap
from models.planning import drill_of
from models.settings import Settings
from models.worth import Wanted
from tests.models.test_planning import BACK, NEAR, SETTINGS, STANDS, gap, plan

MET = [
    Wanted({"depth": "near", "spin_family": "topspin"}, 0.1, 12, 3),
    Wanted({"depth": "near", "spin_family": "no_spin"}, 0.1, 0, 40),
    Wanted({"depth": "near", "length": "long"}, 0.1, 5, 9),
    Wanted({"depth": "back", "spin_family": "topspin"}, 0.1, 12, 80),
    Wanted({"depth": "near", "tempo_band": "fast"}, 0.1, 12, 90),
    Wanted({"depth": "near", "length": "short"}, 0.1, 0, None),
]
GAPS = [gap(1, depth="back"), gap(2, depth="near", spin_family="backspin"), gap(3, depth="near", length="half_long")]


def test_half_is_of_the_session_the_latest_first_and_half_was_met_before_the_longest_ago_first():
    """Not the fast one, from another place, or never met: they do not go together, or were not met."""
    block = closing_block(plan(GAPS, STANDS, 60, SETTINGS), MET, SETTINGS, seed=7)

    assert block is not None
    assert [drill.gap.words for drill in block.drills] == [
        {"depth": "near", "length": "half_long"},
        {"depth": "near", "spin_family": "backspin"},
        {"depth": "near", "spin_family": "no_spin"},
        {"depth": "near", "length": "long"},
    ]
    assert [drill.gap.why for drill in block.drills] == ["never_met", "never_met", MET_BEFORE, MET_BEFORE]
    assert {drill.stand for drill in block.drills} == {NEAR}
    assert (block.order, block.closes) == ("random", True)


@pytest.mark.parametrize(
    ("minutes", "balls", "takes"),
    # Series of 30 balls at 50 a minute with their pause take 2.6 minutes: four of them go into 12.
    [(12, 120, 10.4), (15, 150, 13.0), (13, 150, 13.0), (10, 90, 7.8), (1, 30, 2.6)],
)
def test_it_has_as_many_series_as_go_into_its_minutes(minutes, balls, takes):
    own = SETTINGS.model_copy(update={"closing_minutes": minutes})

    block = closing_block(plan(GAPS, STANDS, 60, own), MET, own, seed=7)

    assert block is not None
    assert (block.balls, block.minutes) == (balls, pytest.approx(takes))


def test_where_nothing_goes_together_or_none_is_wanted_there_is_none():
    lone = plan(GAPS[:1], STANDS, 60, SETTINGS)

    assert closing_block(lone, [], SETTINGS, seed=7) is None
    assert closing_block(plan([], STANDS, 60, SETTINGS), MET, SETTINGS, seed=7) is None
    assert closing_block(lone, MET, Settings(closing_minutes=0), seed=7) is None
    assert closing_block(lone, MET, SETTINGS, seed=7) is not None


@settings(max_examples=50)
@given(kinds=st.integers(2, 4), seed=st.integers(0, 2**63), planned=st.integers(5, 60), minutes=st.integers(1, 60))
def test_each_kind_comes_as_often_as_any_other_but_for_one_and_the_same_seed_gives_the_same_order(
    kinds, seed, planned, minutes
):
    own = Settings(planned_balls=planned, closing_minutes=minutes)
    drills = [drill_of(Gap(at, {"spin": f"spin {at}"}, 0, "weak"), BACK, own) for at in range(kinds)]

    block = drawn(drills, own, seed)

    counts = Counter(block.calls)
    assert [drill.balls for drill in block.drills] == [counts[kind] for kind in range(kinds)]
    assert max(counts.values()) - min(counts.values()) <= 1
    assert drawn(drills, own, seed) == block


def test_the_order_is_as_irregular_as_a_shuffle():
    """Of 400 balls of four kinds, each next ball is of another kind in 3 of 4 cases (300.75 expected, sd 8.7)."""
    own = Settings(planned_balls=400, closing_minutes=1)
    drills = [drill_of(Gap(at, {"spin": f"spin {at}"}, 0, "weak"), BACK, own) for at in range(4)]

    switches = sum(a != b for a, b in pairwise(drawn(drills, own, seed=3).calls))

    assert switches == pytest.approx(399 * 3 / 4 + 0.75, abs=4 * 8.7)
