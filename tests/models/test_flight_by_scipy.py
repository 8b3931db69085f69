"""The batched integrator against a slow, obvious one that shares no code with it."""

import numpy as np
import pytest

from models.coefficients import SET_A, SET_B
from models.feeds import Feeds
from models.flight import simulate
from tests.models.flight_by_scipy import LAWS, by_scipy, random_feeds


@pytest.mark.parametrize(("coefficients", "count"), [(SET_A, 700), (SET_B, 300)], ids=["A", "B"])
def test_a_thousand_random_feeds_land_and_land_again_within_a_millimetre(coefficients, count):
    """scipy.integrate.solve_ivp as the independent integrator (docs.scipy.org)."""
    columns = random_feeds(count, seed=count)
    flights = simulate(Feeds.of(**columns), coefficients)
    ours = np.stack(
        [
            flights.landing_time_s,
            flights.landing_x_cm / 100,
            flights.landing_y_cm / 100,
            flights.second_time_s,
            flights.second_x_cm / 100,
            flights.second_y_cm / 100,
        ]
    ).T
    theirs = np.array(
        [
            by_scipy({name: column[place] for name, column in columns.items()}, LAWS[coefficients.name])
            for place in range(count)
        ]
    )

    assert np.isfinite(theirs[:, 3]).mean() > 0.3
    assert np.array_equal(np.isnan(ours), np.isnan(theirs))
    assert np.nanmax(np.abs(ours - theirs)) < 1e-3


@pytest.mark.parametrize(("step_s", "most_m"), [(0.01, 2e-6), (0.02, 2e-5), (0.05, 1e-3)])
def test_even_long_steps_stay_within_a_millimetre_at_the_second_bounce(step_s, most_m):
    columns = random_feeds(300, seed=7)
    fine, coarse = (simulate(Feeds.of(**columns), step_s=step) for step in (0.002, step_s))

    assert np.nanmax(np.abs(coarse.landing_x_cm - fine.landing_x_cm)) / 100 < most_m
    assert np.nanmax(np.abs(coarse.second_x_cm - fine.second_x_cm)) / 100 < most_m
