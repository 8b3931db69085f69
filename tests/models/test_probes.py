"""A fixed test set before and after, by Newcombe's printed table and by hand."""

import pytest

from models.probes import Probe, probe_change


def single_balls(good, balls):
    """A sitting whose balls each make a block: all of them independent."""
    return Probe(good, balls, balls)


def test_independent_balls_give_newcombes_printed_range():
    """Newcombe (1998), Table II: 56 of 70 against 48 of 80 (second-hand)."""
    change = probe_change(single_balls(48, 80), single_balls(56, 70), rho=0.3)

    assert pytest.approx((change.change, change.low, change.high), abs=5e-5) == (0.20, 0.0524, 0.3339)
    assert change.verdict == "better"


def test_blocks_make_the_same_change_less_sure():
    """Two sittings of six blocks of ten: 60 balls are worth 60 / 1.45 at a correlation of .05."""
    plain = probe_change(Probe(36, 60, 600), Probe(46, 60, 600), rho=0.0)
    blocked = probe_change(Probe(36, 60, 600), Probe(46, 60, 600), rho=0.05)

    assert (plain.verdict, blocked.verdict) == ("better", "not_clear")
    assert blocked.detectable_change == pytest.approx(plain.detectable_change * 1.45**0.5)
    assert blocked.balls_needed == pytest.approx(plain.balls_needed * 1.45)


def test_the_smallest_change_that_can_be_told_is_printed():
    """Weir (2005): 12.7 points at 70% on 100 balls each."""
    change = probe_change(single_balls(70, 100), single_balls(70, 100), rho=0.0)

    assert change.detectable_change == pytest.approx(0.1270, abs=1e-4)
    assert change.balls_needed == pytest.approx(293.15, abs=0.05)


def test_a_clear_fall_is_worse():
    assert probe_change(single_balls(90, 100), single_balls(60, 100), rho=0.0).verdict == "worse"


def test_a_sitting_without_balls_is_refused_with_both_counts():
    with pytest.raises(ValueError, match="0 before, 60 after"):
        probe_change(Probe(0, 0, 0), Probe(36, 60, 600), rho=0.05)
