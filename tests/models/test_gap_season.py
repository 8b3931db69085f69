"""Twelve weeks of one player by the plan, in the smaller grid; the whole simulation has more players and grids."""

import pytest

from tests.simulations.gap_season import EVEN, UNEVEN, bars


@pytest.mark.parametrize("weights", [EVEN, UNEVEN])
def test_no_ball_starves_and_pairs_come_as_soon_as_by_chance_with_half_of_its_moves(weights):
    found = bars(54, weights, players=1)

    assert [str(bar) for bar in found if not bar.is_kept] == []
    assert len(found) == 5
