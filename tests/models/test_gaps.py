"""What a player lacks, and in which order."""

from hypothesis import given, settings
from hypothesis import strategies as st

from models.gaps import lacks
from models.settings import Settings
from models.worth import Shortfall, Wanted, block_balls, block_minutes
from tests.proofs import examples

SETTINGS = Settings()


def wanted(depth: str, spin: str, share: float, balls: int, days_since: int | None, is_weak: bool = False) -> Wanted:
    return Wanted({"depth": depth, "spin": spin}, share, balls, days_since, is_weak)


def test_why_a_combination_is_lacking_and_how_many_balls_it_needs():
    grid = [
        wanted("back", "a", 0.2, 0, None),
        wanted("back", "b", 0.2, 0, 40),
        wanted("back", "c", 0.2, 3, 1),
        wanted("back", "d", 0.2, 10, 1, True),
        wanted("back", "e", 0.1, 10, 1),
        wanted("back", "f", 0.1, 25, 1),
        wanted("back", "g", 0.0, 0, None),
    ]

    found = {lack.wanted.words["spin"]: (lack.why, lack.need_balls) for lack in lacks(grid, SETTINGS)}

    assert found == {"a": ("never_met", 10), "b": ("not_lately", 10), "c": ("too_few", 7), "d": ("weak", 0)}


def test_after_one_ball_comes_another_that_shares_no_value_with_it():
    """A square of two by two: the one across the corner brings a new pair, and so do all; it has met fewest."""
    grid = [wanted(depth, spin, 0.25, 0, None) for depth in ("back", "near") for spin in ("backspin", "topspin")]
    grid += [wanted("back", "no_spin", 0.0, 0, None)]

    first, second, *_ = [lack.wanted.words for lack in lacks(grid, SETTINGS)]

    assert first != second
    assert len(lacks(grid, SETTINGS)) == 4


def test_three_factors_are_paired_in_as_few_balls_as_can_be():
    """Three factors of two words: all twelve pairs come together in four balls, the fewest (a published covering array,
    Cohen et al. 1997), and those four come first."""
    grid = [Wanted({"a": a, "b": b, "c": c}, 1 / 8, 0, None) for a in "xy" for b in "xy" for c in "xy"]

    first = [tuple(lack.wanted.words.values()) for lack in lacks(grid, SETTINGS)][:4]

    for one, other in ((0, 1), (0, 2), (1, 2)):
        assert len({(ball[one], ball[other]) for ball in first}) == 4


grids = st.lists(
    st.builds(
        wanted,
        st.sampled_from("abc"),
        st.sampled_from("wxyz"),
        st.sampled_from([0.0, 0.05, 0.1, 0.3]),
        st.integers(0, 15),
        st.none() | st.integers(0, 90),
        st.booleans(),
    ),
    max_size=12,
    unique_by=lambda one: one.cell,
)


@settings(max_examples=examples(20, 50))
@given(grid=grids)
def test_each_in_its_turn_brings_most_for_each_minute_of_those_that_are_left(grid):
    """The same without any shortcut: every one is weighed again after every block."""
    ranked = lacks(grid, SETTINGS)
    shortfall, left = Shortfall.on_a_day(grid, SETTINGS), list(ranked)
    for lack in ranked:
        brings = [
            shortfall.worth(one.wanted.cell, balls := block_balls(one.need_balls, SETTINGS))
            / block_minutes(balls, None, SETTINGS)
            for one in left
        ]
        assert brings[left.index(lack)] >= max(brings) - 1e-9
        left.remove(lack)
        shortfall = shortfall.after(lack.wanted.cell, block_balls(lack.need_balls, SETTINGS))


@given(grid=grids, order=st.randoms())
def test_the_order_does_not_hang_on_that_in_which_the_combinations_are_given(grid, order):
    mixed = list(grid)
    order.shuffle(mixed)

    assert lacks(mixed, SETTINGS) == lacks(grid, SETTINGS)


def test_of_equally_wanted_balls_the_one_comes_first_whose_block_takes_fewer_minutes():
    """The slow ones take three times as long; met once is met, and no longer what was not met lately."""
    grid = [
        Wanted({"spin": spin, "tempo_band": tempo}, 0.25, 0, None, is_weak=False)
        for spin in ("backspin", "topspin")
        for tempo in ("slow", "fast")
    ]

    assert [lack.wanted.words["tempo_band"] for lack in lacks(grid, SETTINGS)] == ["fast", "fast", "slow", "slow"]
    assert [lack.why for lack in lacks([wanted("back", "a", 1.0, 1, 1)], SETTINGS)] == ["too_few"]
