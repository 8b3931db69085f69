"""What one more block is worth: worked by hand, and that it never pays to feed what is covered or not wanted."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.settings import Settings
from models.worth import Shortfall, Wanted, assumed_bpm, band_of, block_balls, block_minutes, cell_of, pairs_of

SETTINGS = Settings(covered_balls=10, planned_balls=30, window_days=28, block_pause_minutes=2)


def wanted(depth: str, spin: str | None = None, share: float = 0.25, balls: int = 0, **more: float | None) -> Wanted:
    more = {"days_since": 0 if balls else None} | more
    return Wanted({"depth": depth, "spin": spin}, share, balls, **more)


def worth_of(one: Wanted, *others: Wanted, balls: int = 30) -> float:
    return Shortfall.on_a_day([one, *others], SETTINGS).worth(one.cell, balls)


MET = wanted("near", share=0.5, balls=10)


@pytest.mark.parametrize(
    ("one", "worth"),
    [
        (wanted("back", share=0.3), 0.3 + 0.5),  # Never met: its own share and the largest.
        (wanted("back", share=0.3, days_since=20), 0.3),  # Met, and not forgotten.
        (wanted("back", share=0.3, days_since=28), 0.3),
        (wanted("back", share=0.3, days_since=56), 0.6),  # Two windows ago: twice its share.
        (wanted("back", share=0.3, balls=4), 0.3 * 0.6),
        (wanted("back", share=0.3, balls=10), 0.0),
        (wanted("back", share=0.3, balls=10, is_weak=True), 0.3),  # Weak: as if all were missing.
        (wanted("back", share=0.3, balls=4, is_weak=True), 0.3 * 0.6),  # What lacks balls is not weak beside it.
        (wanted("back", share=0.0), 0.0),
        (wanted("back", share=0.0, days_since=90), 0.0),
    ],
)
def test_a_combination_is_worth_its_share_times_what_is_missing_times_the_windows_it_waited(one, worth):
    """A single dimension makes no pairs."""
    assert worth_of(one, MET) == pytest.approx(worth)


def test_fewer_balls_than_are_missing_bring_their_part_of_it():
    assert worth_of(wanted("back", share=0.3, days_since=20), MET, balls=4) == pytest.approx(0.3 * 0.4)


def test_what_was_never_met_has_waited_as_long_as_any_other():
    waited = wanted("near", share=0.5, days_since=84)

    assert worth_of(wanted("back", share=0.1), waited) == pytest.approx(3 * (0.1 + 0.5))


def test_every_pair_not_covered_yet_counts_by_what_its_balls_add():
    """Two by two values are four pairs: one covered, one with 4 balls of 10, two with none."""
    grid = [
        wanted("back", "topspin", balls=10),
        wanted("back", "backspin", balls=4),
        wanted("near", "topspin", days_since=0),
        wanted("near", "backspin", days_since=0),
    ]
    shortfall = Shortfall.on_a_day(grid, SETTINGS)

    assert [shortfall.worth(one.cell, 30) for one in grid] == pytest.approx(
        [0, 0.25 * 0.6 + 0.6 / 4, 0.25 + 1 / 4, 0.25 + 1 / 4]
    )
    assert shortfall.worth(grid[2].cell, 5) == pytest.approx(0.25 * 0.5 + 0.5 / 4)
    assert [shortfall.met_together(one.cell) for one in grid] == [10, 4, 0, 0]


def test_the_only_pair_of_a_target_is_the_whole_of_its_pairs():
    assert worth_of(wanted("back", "topspin", share=1.0, days_since=0)) == pytest.approx(1.0 + 1.0)


def test_a_pair_is_covered_by_the_balls_of_all_combinations_that_hold_it():
    """Back with topspin comes slow and fast; with three dimensions a combination holds three pairs, of twelve."""
    grid = [
        Wanted({"depth": depth, "spin": spin, "tempo_band": tempo}, 1 / 8, balls, 0)
        for depth, spin, tempo, balls in [
            *(("back", "topspin", tempo, 5) for tempo in ("slow", "fast")),
            *(("back", "backspin", tempo, 0) for tempo in ("slow", "fast")),
            *(("near", spin, tempo, 0) for spin in ("topspin", "backspin") for tempo in ("slow", "fast")),
        ]
    ]
    shortfall = Shortfall.on_a_day(grid, SETTINGS)

    # Missing for the first: 5 of its balls, 5 of back with slow, 5 of topspin with slow; back with topspin has 10.
    assert shortfall.worth(grid[0].cell, 30) == pytest.approx(0.5 / 8 + (0.5 + 0.5) / 12)


def test_what_was_fed_is_worth_no_more_and_its_pairs_are_met():
    grid = [wanted(depth, spin) for depth in ("back", "near") for spin in ("topspin", "backspin")]
    shortfall = Shortfall.on_a_day(grid, SETTINGS)

    after = shortfall.after(grid[0].cell, 4).after(grid[0].cell, 4)

    assert after.worth(grid[0].cell, 30) == pytest.approx((0.2 * 0.5) + 0.2 / 4)
    assert after.worth(grid[1].cell, 30) == shortfall.worth(grid[1].cell, 30)
    assert after.after(grid[0].cell, 30).worth(grid[0].cell, 30) == 0
    assert after.met_together(grid[0].cell) == 8


def test_a_ball_beside_the_target_brings_nothing_and_changes_nothing():
    shortfall = Shortfall.on_a_day([wanted("back", "topspin")], SETTINGS)
    beside = cell_of({"depth": "near", "spin": "topspin"})

    assert shortfall.worth(beside, 30) == 0
    assert shortfall.met_together(beside) == 0
    assert shortfall.after(beside, 30).pair_balls == shortfall.pair_balls
    assert Shortfall.on_a_day([], SETTINGS).worth(beside, 30) == 0


def test_a_combination_is_known_by_the_dimensions_that_the_target_names():
    cell = cell_of({"spin": "topspin", "depth": "back", "side": None})

    assert cell == (("depth", "back"), ("spin", "topspin"))
    assert pairs_of(cell) == ((("depth", "back"), ("spin", "topspin")),)


@pytest.mark.parametrize(("need", "balls"), [(0, 30), (30, 30), (31, 31)])
def test_a_block_gets_what_is_missing_and_no_fewer_balls_than_it_is_worth(need, balls):
    assert block_balls(need, SETTINGS) == balls


@pytest.mark.parametrize(("band", "minutes"), [("slow", 3.0), ("fast", 2.4), (None, 2.6)])
def test_a_block_takes_its_balls_and_its_pause(band, minutes):
    assert block_minutes(30, band, SETTINGS) == pytest.approx(minutes)


def test_a_tempo_has_the_band_that_its_limits_give_it_and_the_one_assumed_for_a_band_lies_in_it():
    assert [band_of(bpm, SETTINGS) for bpm in (39.9, 40.0, 59.9, 60.0)] == ["slow", "medium", "medium", "fast"]
    for limits in (SETTINGS, Settings(slow_below_bpm=1.2, fast_from_bpm=180)):
        bands = ("slow", "medium", "fast")
        assert [band_of(assumed_bpm(band, limits), limits) for band in bands] == list(bands)
        assert all(1 <= assumed_bpm(band, limits) <= 200 for band in bands)


grids = st.lists(
    st.builds(
        Wanted,
        st.fixed_dictionaries({"depth": st.sampled_from("abc"), "spin": st.sampled_from("xyz")}),
        st.floats(0, 1),
        st.integers(0, 20),
        st.none() | st.integers(0, 200),
        st.booleans(),
    ),
    min_size=1,
    max_size=9,
    unique_by=lambda one: one.cell,
)


@given(grid=grids, fed=st.data())
def test_feeding_one_ball_never_makes_another_worth_more_and_nothing_is_worth_less_than_nothing(grid, fed):
    shortfall = Shortfall.on_a_day(grid, SETTINGS)
    after = shortfall.after(fed.draw(st.sampled_from(grid)).cell, fed.draw(st.integers(0, 40)))

    for one in grid:
        assert 0 <= after.worth(one.cell, 30) <= shortfall.worth(one.cell, 30) + 1e-12


@given(grid=grids)
def test_what_was_never_met_is_worth_no_less_than_what_was_but_for_its_pairs(grid):
    alone = [Wanted({"depth": str(at)}, one.share, one.balls, one.days_since) for at, one in enumerate(grid)]
    shortfall = Shortfall.on_a_day(alone, SETTINGS)
    never = [shortfall.worth(one.cell, 30) for one in alone if one.days_since is None and one.share > 0 == one.balls]
    met = [shortfall.worth(one.cell, 30) for one in alone if one.days_since is not None]

    assert not never or not met or min(never) >= max(met) - 1e-12
