"""Many looks at the same balls: Benjamini & Hochberg's own example, and statsmodels on random families."""

import numpy as np
import pytest
from statsmodels.stats.multitest import multipletests

from models.many_looks import shared_confidence

# Benjamini & Hochberg (1995), section 3.3: fifteen p-values of which four stand out (from memory).
OF_THE_PAPER = np.array(
    [
        *(0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344),
        *(0.0459, 0.3240, 0.4262, 0.5719, 0.6528, 0.7590, 1.0),
    ]
)


def standing_out(family, p_values):
    return p_values <= 1 - shared_confidence(family, p_values) + 1e-12


def test_of_the_papers_fifteen_comparisons_four_stand_out():
    found = standing_out(np.zeros(15), OF_THE_PAPER)

    assert np.flatnonzero(found).tolist() == [0, 1, 2, 3]
    assert shared_confidence(np.zeros(15), OF_THE_PAPER)[0] == pytest.approx(1 - 0.05 * 4 / 15)


def test_ranges_leave_out_zero_for_just_those_that_the_library_lets_stand_out():
    """Families of one to twelve looks, many of them with nothing to find."""
    draw = np.random.default_rng(3)
    family = np.repeat(np.arange(200), draw.integers(1, 13, 200))
    p_values = draw.beta(draw.choice([0.05, 1.0], len(family)), 1.0)

    found = standing_out(family, p_values)

    for number in range(200):
        own = family == number
        assert found[own].tolist() == multipletests(p_values[own], 0.05, "fdr_bh")[0].tolist()


def test_a_single_look_keeps_its_confidence_and_what_is_not_judged_is_no_look():
    confidence = shared_confidence([1, 2, 2, 2], [0.3, 0.9, np.nan, 0.8])

    assert confidence == pytest.approx([0.95, 0.975, 0.95, 0.975])


def test_a_look_that_just_stands_out_does():
    """At one in two: the second of two may come to one half, and then both stand out."""
    assert shared_confidence([0, 0], [0.1, 0.5], confidence=0.5).tolist() == [0.5, 0.5]
    assert shared_confidence([0, 0], [0.3, 0.6], confidence=0.5).tolist() == [0.75, 0.75]
