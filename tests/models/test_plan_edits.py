"""Edits of a plan: what each does, and that minutes, moves and left-out gaps are true again after any of them."""

from dataclasses import replace
from itertools import pairwise
from math import ceil

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models import plan_edits as edits
from models.closing import closing_block, drawn
from models.planned import Gap, Plan
from models.planning import drill_of
from models.settings import Settings
from models.worth import Wanted, cell_of
from tests.models.test_planning import NEAR, SETTINGS, STANDS, gap, plan, told

GAPS = [
    gap(1, depth="back", spin_family="topspin", length="long"),
    gap(2, depth="near", spin_family="backspin", length="short"),
    gap(3, depth="back", spin_family="backspin", length="long"),
    gap(4, depth="middle", spin_family="no_spin", length="long"),
]


@pytest.fixture
def made() -> Plan:
    """Two blocks from the back, one from the middle, one from near: 4 × 2.6 minutes and two moves of 3."""
    whole = plan(GAPS, STANDS, 60, SETTINGS)
    assert told(whole) == [("BC", [1]), ("BC", [3]), ("MR", [4]), ("NC", [2])]
    assert whole.minutes == pytest.approx(16.4)
    return whole


@pytest.mark.parametrize(
    ("at", "steps", "order", "moves", "minutes"),
    [
        (0, 1, [3, 1, 4, 2], 2, 16.4),
        (1, -1, [3, 1, 4, 2], 2, 16.4),
        (1, 1, [1, 4, 3, 2], 3, 19.4),  # The feeder goes back for it: a third move.
        (3, -3, [2, 1, 3, 4], 2, 16.4),
        (0, -1, [1, 3, 4, 2], 2, 16.4),
        (3, 5, [1, 3, 4, 2], 2, 16.4),
    ],
)
def test_a_block_goes_up_and_down_and_the_way_of_the_feeder_is_counted_anew(made, at, steps, order, moves, minutes):
    other = edits.moved(made, at, steps, SETTINGS)

    assert [drill.gap.rank for drill in other.drills] == order
    assert (len(other.moves), other.minutes) == (moves, pytest.approx(minutes))


def test_what_is_dropped_is_left_out_by_the_coach_and_comes_back_when_added(made):
    without = edits.dropped(made, 2, SETTINGS)
    assert told(without) == [("BC", [1]), ("BC", [3]), ("NC", [2])]
    assert without.minutes == pytest.approx(3 * 2.6 + 3)
    assert [(one.gap.rank, one.why) for one in without.left_out] == [(4, "taken_out")]

    again = edits.added(without, GAPS[3], STANDS, SETTINGS)
    assert told(again) == [("BC", [1]), ("BC", [3]), ("NC", [2]), ("MR", [4])]
    assert again.left_out == ()


def test_what_is_added_is_fed_where_the_feeder_stands_already(made):
    more = edits.added(made, gap(5, depth="back", spin_family="no_spin"), STANDS, SETTINGS)

    assert told(more) == [("BC", [1]), ("BC", [3]), ("BC", [5]), ("MR", [4]), ("NC", [2])]
    assert edits.added(made, gap(5, depth="near", side="backhand"), STANDS, SETTINGS) == made


def test_a_swap_puts_another_gap_in_the_same_place_of_the_plan(made):
    short = edits.dropped(made, 2, SETTINGS)

    other = edits.swapped(short, 0, GAPS[3], STANDS, SETTINGS)

    assert told(other) == [("MR", [4]), ("BC", [3]), ("NC", [2])]
    assert [(one.gap.rank, one.why) for one in other.left_out] == [(1, "taken_out")]


def test_another_ball_of_the_coachs_choice_leaves_the_gap_out_and_the_words_of_a_gap_are_that_gap(made):
    chosen = edits.reworded(made, 0, 0, {**GAPS[0].words, "length": "short"}, SETTINGS)
    assert chosen.blocks[0].drills[0].gap == Gap(
        0, {"depth": "back", "spin_family": "topspin", "length": "short"}, 0, edits.COACHS_CHOICE
    )
    assert [one.gap.rank for one in chosen.left_out] == [1]

    back = edits.reworded(chosen, 0, 0, GAPS[0].words, SETTINGS)
    assert back == made


def test_what_the_target_leaves_open_is_said_beside_the_gap_which_stays_what_is_fed(made):
    low = edits.reworded(made, 0, 0, {**GAPS[0].words, "height": "low", "spin": "heavy_topspin"}, SETTINGS)

    drill = low.blocks[0].drills[0]
    assert (drill.gap, low.left_out) == (GAPS[0], ())
    assert drill.feed == {"setup": "BC", "spin": "heavy_topspin", "length": "long", "height": "low"}


def test_from_another_place_the_ball_is_another_one_and_comes_back(made):
    near = edits.from_place(made, 0, NEAR, SETTINGS)
    assert near.blocks[0].stand == NEAR
    assert near.blocks[0].drills[0].gap.words["depth"] == "near"
    assert [one.gap.rank for one in near.left_out] == [1]

    assert edits.from_place(near, 0, made.blocks[0].stand, SETTINGS) == made


def test_another_tempo_is_that_of_the_whole_block_and_changes_its_minutes(made):
    """30 balls at 30 a minute take one minute, at 50 .6."""
    pair = edits.combined(made, 0, gap(0, depth="back", spin_family="backspin", length="short"), SETTINGS)

    slow = edits.reworded(pair, 0, 1, pair.blocks[0].drills[1].gap.words | {"tempo_band": "slow"}, SETTINGS)

    assert {drill.tempo_bpm for drill in slow.blocks[0].drills} == {30}
    assert slow.blocks[0].minutes == pytest.approx(2 + 60 / 30)


def test_push_flick_and_loop_become_one_combination_in_their_order(made):
    short = gap(0, depth="near", spin_family="backspin", length="short")
    three = edits.combined(edits.combined(made, 3, short, SETTINGS), 3, GAPS[0], SETTINGS)
    strokes = [
        replace(drill, stroke=stroke)
        for drill, stroke in zip(three.blocks[3].drills, ["push", "flick", "loop"], strict=True)
    ]

    strokes_told = edits.with_drills(three, 3, strokes, SETTINGS).blocks[3]

    assert strokes_told.order == "serial"
    assert [drill.feed.get("stroke") for drill in strokes_told.drills] == ["push", "flick", "loop"]
    assert {drill.stand for drill in strokes_told.drills} == {NEAR}
    assert strokes_told.minutes == pytest.approx(2 + 90 / 50)


def test_isolated_balls_come_before_combined_ones_at_each_place(made):
    pair = edits.combined(made, 0, GAPS[3], SETTINGS)

    ordered = edits.isolated_first(pair, SETTINGS)

    assert [(block.stand.setup, block.order) for block in ordered.blocks] == [
        ("BC", "blocked"),
        ("BC", "serial"),
        ("MR", "blocked"),
        ("NC", "blocked"),
    ]


def test_the_closing_mix_stays_at_the_end_and_is_taken_out_by_name(made):
    block = drawn([drill_of(one, NEAR, SETTINGS) for one in GAPS[:2]], SETTINGS, seed=1)
    closed = edits.with_closing(made, block, SETTINGS)

    assert closed.blocks[-1] == block
    assert closed.minutes == pytest.approx(made.minutes + block.minutes)
    assert edits.moved(closed, 4, -2, SETTINGS) == closed
    assert edits.moved(closed, 0, 9, SETTINGS).blocks[-1] == block
    assert edits.added(closed, gap(5, depth="middle"), STANDS, SETTINGS).blocks[-1] == block
    assert edits.with_drills(closed, 4, [], SETTINGS) == closed
    assert edits.with_closing(closed, None, SETTINGS) == made


words_ = st.fixed_dictionaries(
    {
        "depth": st.sampled_from([None, "back", "middle", "near"]),
        "spin_family": st.sampled_from([None, "backspin", "no_spin", "topspin"]),
        "tempo_band": st.sampled_from([None, "slow", "fast"]),
    }
)
numbers = st.integers(0, 20)
edits_ = st.lists(
    st.tuples(st.sampled_from(["moved", "dropped", "added", "swapped", "balls", "reworded", "combined", "closed"]),
              numbers, numbers, words_),
    max_size=12,
)  # fmt: skip


def edited(made: Plan, how: str, at: int, other: int, words: dict[str, str | None], own: Settings) -> Plan:
    if how == "closed":
        met = [Wanted({**words, "tempo_band": None}, 0.1, 3, 4), Wanted({"tempo_band": None}, 0.1, 3, 9)]
        return edits.with_closing(made, closing_block(made, met, own, seed=at), own)
    if how == "added":
        left = [one.gap for one in made.left_out]
        return edits.added(made, left[at % len(left)] if left else Gap(0, words, 0, "chosen"), STANDS, own)
    if not made.blocks:
        return made
    at %= len(made.blocks)
    block = made.blocks[at]
    if how == "balls":
        return edits.with_drills(made, at, [replace(d, balls=other) for d in block.drills if other], own)
    return {
        "moved": lambda: edits.moved(made, at, other - 10, own),
        "dropped": lambda: edits.dropped(made, at, own),
        "swapped": lambda: edits.swapped(made, at, Gap(0, words, 0, "chosen"), STANDS, own),
        "reworded": lambda: edits.reworded(made, at, other % len(block.drills), words, own),
        "combined": lambda: edits.combined(made, at, Gap(0, words, 0, "chosen"), own),
    }[how]()


def plain_minutes(made: Plan, own: Settings) -> float:
    """The sum as one would do it on paper."""
    minutes = 0.0
    for block in made.blocks:
        minutes += sum(drill.balls / drill.tempo_bpm for drill in block.drills)
        balls = sum(drill.balls for drill in block.drills)
        minutes += own.block_pause_minutes * (ceil(balls / own.planned_balls) if block.calls else 1)
    setups = [block.stand.setup for block in made.blocks]
    return minutes + own.feeder_move_minutes * sum(a != b for a, b in pairwise(setups))


@settings(max_examples=80)
@given(
    wanted=st.lists(words_, min_size=1, max_size=9, unique_by=cell_of),
    minutes=st.integers(5, 60),
    steps=edits_,
    closing=st.integers(0, 20),
)
def test_after_any_edits_minutes_and_moves_are_true_and_no_gap_is_lost(wanted, minutes, steps, closing):
    own = Settings(planned_balls=20, closing_minutes=closing)
    made = plan([Gap(rank, one, 10, "never_met") for rank, one in enumerate(wanted, start=1)], STANDS, minutes, own)

    for step in steps:
        made = edited(made, *step, own)

        assert made.minutes == pytest.approx(plain_minutes(made, own))
        assert made.balls == sum(drill.balls for block in made.blocks for drill in block.drills)
        fed, left = {drill.gap.rank for drill in made.drills}, [one.gap.rank for one in made.left_out]
        assert sorted((fed - {0}) | set(left)) == list(range(1, len(wanted) + 1))
        assert not fed & set(left)
        assert [block.closes for block in made.blocks] == sorted(block.closes for block in made.blocks)
        for block in made.blocks:
            assert len({(drill.stand, drill.tempo_bpm) for drill in block.drills}) == 1
            assert not block.closes or len(block.calls) == block.balls
