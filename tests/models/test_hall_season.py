"""Twelve weeks of a small group in the hall; the whole simulation has ten children and betters every plan."""

import pytest

from tests.proofs import in_proof
from tests.simulations.gap_season import SESSIONS
from tests.simulations.hall_season import found, plainly


@pytest.mark.parametrize(("children", "sessions"), [(4, 8), in_proof(10, SESSIONS)])
def test_pairs_are_covered_in_three_fifths_of_chance_s_minutes_and_nobody_gets_too_little(children, sessions):
    bars = found(children, sessions, plainly).bars()

    assert [str(bar) for bar in bars if not bar.is_kept] == []
    assert len(bars) == 3
