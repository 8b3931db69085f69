"""Variety at equal numbers of balls, by published spiders, by counting every draw, and by closed forms."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from skbio.diversity import alpha

from models.rarefaction import expected_combinations, expected_coverage

# Spiders caught at girdled trees (data set `spider` of the R package iNEXT).
GIRDLED = (46, 22, 17, 15, 15, 9, 8, 6, 6, 4, 2, 2, 2, 2, *(1,) * 12)


def test_the_spiders_are_covered_as_printed():
    """Chao & Jost (2012): .9289 at all 168; from the data .928855. Good (1953): 1 - 12/168, without correction."""
    assert expected_coverage(GIRDLED, 168) == pytest.approx(0.9289, abs=5e-5)
    assert expected_coverage(GIRDLED, 168) == pytest.approx(0.928855, abs=1e-6)
    assert alpha.goods_coverage(GIRDLED) == pytest.approx(1 - 12 / 168)


def test_all_spiders_make_all_species_and_one_makes_one():
    assert expected_combinations(GIRDLED, 168) == pytest.approx(26)
    assert expected_combinations(GIRDLED, 1) == pytest.approx(1)
    assert expected_combinations((*GIRDLED, 0, 0), 168) == pytest.approx(26)


def test_two_balls_have_a_closed_form():
    """Hurlbert (1971): 2 - sum n (n - 1) / (N (N - 1))."""
    counts = np.array(GIRDLED)

    assert expected_combinations(counts, 2) == pytest.approx(2 - np.sum(counts * (counts - 1)) / (168 * 167))


counts_ = st.lists(st.integers(1, 4), min_size=1, max_size=4)


@given(counts=counts_, data=st.data())
def test_it_is_the_mean_over_every_draw(counts, data):
    """Every draw in turn; the coverage of a draw is the chance that one of the balls left is of a kind drawn."""
    balls = [kind for kind, count in enumerate(counts) for _ in range(count)]
    drawn = data.draw(st.integers(1, len(balls)))
    draws = [set(draw) for draw in combinations(range(len(balls)), drawn)]
    kinds = [{balls[at] for at in draw} for draw in draws]

    assert expected_combinations(counts, drawn) == pytest.approx(np.mean([len(one) for one in kinds]))
    if drawn < len(balls):
        left = [
            np.mean([balls[at] in kind for at in range(len(balls)) if at not in draw])
            for draw, kind in zip(draws, kinds, strict=True)
        ]
        assert expected_coverage(counts, drawn) == pytest.approx(np.mean(left))


@pytest.mark.parametrize(
    ("counts", "coverage"),
    [
        ((5, 5), 1.0),  # None met once.
        ((1, 1, 2), 1 - 2 / 4 * (3 * 2) / (3 * 2 + 2)),
        ((1, 1, 3), 1 - 2 / 5 * (4 * 1) / (4 * 1 + 2)),  # None met twice: one of those met once is taken off.
        ((1, 4), 1.0),
    ],
)
def test_of_all_balls_the_coverage_is_told_from_those_met_once_and_twice(counts, coverage):
    assert expected_coverage(counts, sum(counts)) == pytest.approx(coverage)


@pytest.mark.parametrize("balls", [0, 169])
@pytest.mark.parametrize("asked", [expected_combinations, expected_coverage])
def test_more_balls_than_there_are_and_none_are_refused(asked, balls):
    with pytest.raises(ValueError, match=f"{balls} balls were asked of 168"):
        asked(GIRDLED, balls)
