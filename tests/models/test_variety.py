"""Likeness of balls and the most distinct conditions a grid can hold, against the papers' formulas."""

import itertools

import numpy as np
import pytest

from models.variety import most_distinct_conditions, word_likeness

# An invented grid: three positions, three spins, two tempos.
GRID = [np.linspace(0, 1, 3), np.linspace(0, 1, 3), np.linspace(0, 1, 2)]


def grid_likeness(places_by_dimension):
    """Likeness of every cell to every other: the product over the dimensions."""
    likeness = np.ones((1, 1))
    for places in places_by_dimension:
        likeness = np.kron(likeness, word_likeness(places))
    return likeness


def distinct_conditions(balls, likeness):
    """Leinster & Cobbold (2012), order 1, written out for the test."""
    share = np.asarray(balls) / np.sum(balls)
    met = share > 0
    return np.exp(-np.sum(share[met] * np.log((likeness @ share)[met])))


def test_five_words_one_apart_hold_at_most_2_85_distinct_ones():
    """Leinster & Meckes (2016): the sum of the inverse likeness; 1 + 4 tanh(1/2) on a line."""
    places = np.arange(5) / 4

    assert most_distinct_conditions([places], decay=4) == pytest.approx(2.848469, abs=1e-6)
    assert np.linalg.solve(word_likeness(places, decay=4), np.ones(5)).sum() == pytest.approx(2.848469, abs=1e-6)


@pytest.mark.parametrize(
    "grid", [GRID, [[0, 1 / 6, 0.5, 1], [0.0, 1.0]], [[0.5], [0, 0.25, 1]]], ids=["even", "uneven words", "one word"]
)
def test_the_most_of_a_grid_is_what_solving_the_whole_grid_gives(grid):
    likeness = grid_likeness(grid)

    assert most_distinct_conditions(grid) == pytest.approx(np.linalg.solve(likeness, np.ones(len(likeness))).sum())


def test_the_most_of_the_eighteen_cells_is_6_52():
    """Closed form: (1 + 2 tanh(1/2))^2 (1 + tanh 1)."""
    assert most_distinct_conditions(GRID) == pytest.approx(6.522615, abs=1e-6)


def test_no_mix_holds_more_than_the_most():
    mixes = np.random.default_rng(3).dirichlet(np.full(18, 0.5), 500)
    likeness = grid_likeness(GRID)

    assert max(distinct_conditions(mix, likeness) for mix in mixes) < most_distinct_conditions(GRID)


def test_known_players_have_known_numbers_of_distinct_conditions():
    """Even balls 6.374715; only the diagonal of position and spin 4.435744; one cell 1 (greylock agrees)."""
    cells = list(itertools.product(range(3), range(3), range(2)))
    likeness = grid_likeness(GRID)

    assert distinct_conditions(np.full(18, 20), likeness) == pytest.approx(6.374715, abs=1e-6)
    diagonal = [60 if position == spin else 0 for position, spin, _ in cells]
    assert distinct_conditions(diagonal, likeness) == pytest.approx(4.435744, abs=1e-6)
    assert distinct_conditions([360] + [0] * 17, likeness) == pytest.approx(1)


def test_two_even_words_count_as_two_over_one_plus_their_likeness():
    """Leinster & Cobbold (2012): 2 / (1 + z); 4/3 at z = 1/2."""
    likeness = word_likeness([0, 1], decay=np.log(2))

    assert likeness[0, 1] == pytest.approx(0.5)
    assert distinct_conditions([5, 5], likeness) == pytest.approx(4 / 3)


@pytest.mark.parametrize(
    ("shares", "distinct"),
    [
        ([0.5, 0.5, 0, 0, 0], 1.462117),
        ([0.5, 0, 0, 0, 0.5], 1.964028),
        ([0.2] * 5, 2.796272),
        ([0.4, 0.3, 0.1, 0.1, 0.1], 2.450670),
    ],
    ids=["near twins", "the extremes", "all even", "mostly backspin"],
)
def test_near_twins_count_less_than_opposites_and_all_words_count_most(shares, distinct):
    """Greylock's values to six places; a straight fall of likeness would put the extremes above all five."""
    assert distinct_conditions(shares, word_likeness(np.arange(5) / 4, decay=4)) == pytest.approx(distinct, abs=1e-6)
