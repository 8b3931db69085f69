"""Do the shipped ranges hold the truth as often as they promise? The small form of tests/simulations."""

import pytest

from tests.proofs import in_proof
from tests.simulations.interval_honesty import (
    UNLIKE_CLUB,
    WITH_FORM_OF_THE_DAY,
    cell_coverage,
    cell_in_blocks_coverage,
    club_coverages,
    cost_coverage,
    day_coverage,
    difference_coverage,
    rate_coverage,
    trend_coverage,
)


@pytest.mark.parametrize("rate", [0.65, in_proof(0.85)])
@pytest.mark.parametrize(("blocks", "rho"), [in_proof(3, 0.05), (5, 0.10), (8, 0.0), in_proof(8, 0.05), (20, 0.05)])
def test_the_range_of_a_rate_holds_the_truth_and_the_naive_one_does_not(rate, blocks, rho):
    """93% to 97%; where balls of a block resemble each other, Wilson's range on plain counts keeps below 90%."""
    coverage = rate_coverage(rate, blocks, rho, replicates=1500)

    assert coverage.is_honest, coverage
    assert (coverage.naive < 0.90) == (rho > 0)


def test_streaks_within_a_block_do_not_break_the_range_of_a_rate():
    coverage = rate_coverage(0.65, 8, 0.05, persistence=0.2, replicates=1500)

    assert coverage.is_honest, coverage


@pytest.mark.parametrize("rate", [0.65, in_proof(0.85)])
def test_the_range_of_a_rate_counts_the_form_of_the_day(rate):
    """Four sessions of three blocks; a range that knows the luck of blocks alone keeps below 90%."""
    coverage = day_coverage(rate, 4, 0.10, replicates=1000)

    assert coverage.is_honest, coverage
    assert coverage.naive < 0.90


@pytest.mark.parametrize("rho", [0.05, in_proof(0.10)])
def test_the_range_of_a_change_holds_the_truth_and_the_naive_one_does_not(rho):
    coverage = difference_coverage(rho, replicates=1500)

    assert coverage.is_honest, coverage


@pytest.mark.parametrize("sessions", [in_proof(6), 12, in_proof(24)])
@pytest.mark.parametrize("slope", [0.0, in_proof(0.8)])
def test_the_range_of_a_slope_holds_the_truth_and_a_plain_regression_does_not(sessions, slope):
    """A plain logistic regression calls one flat player in four changing."""
    coverage = trend_coverage(sessions, slope)

    assert coverage.is_honest, coverage
    assert coverage.naive < 0.80


def test_the_range_of_a_pulled_rate_holds_the_truth_better_than_the_best_guess_does():
    """The likeliest spread, taken for known, covers about 93%."""
    coverage = cell_coverage(replicates=1000)

    assert coverage.is_honest, coverage
    assert coverage.naive < 0.94 < coverage.shipped


@pytest.mark.parametrize("rho", [in_proof(0.05), 0.10])
def test_the_range_of_a_pulled_rate_holds_the_truth_for_balls_in_blocks(rho):
    coverage = cell_in_blocks_coverage(rho, replicates=600)

    assert coverage.is_honest, coverage


@pytest.mark.parametrize(
    "truth", [in_proof(UNLIKE_CLUB), WITH_FORM_OF_THE_DAY], ids=["blocks differ", "days differ too"]
)
def test_the_published_ranges_of_rates_hold_the_truth_in_clubs_of_unlike_players_and_cells(truth):
    """Six clubs of twenty players through the warehouse; 91% to 99% is what so few can tell."""
    for coverage in club_coverages(clubs=6, truth=truth):
        assert coverage.is_honest, coverage


@pytest.mark.proof
def test_the_published_range_of_the_cost_of_a_change_holds_the_truth():
    """Three clubs of twenty players through the warehouse, twenty points lost on every kind of ball."""
    coverage = cost_coverage(clubs=3)

    assert coverage.is_honest, coverage
