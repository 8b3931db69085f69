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


def test_balls_of_one_day_share_its_form_and_only_more_days_tell_more():
    """60 balls in blocks of ten on one day, by hand: 1 + 9 x .05 + 50 x .02 = 2.45 balls for each effective one."""
    one_day = Probe(36, 60, 600)
    change = probe_change(one_day, Probe(46, 60, 600), rho=0.05, rho_session=0.02)
    plain = probe_change(single_balls(36, 60), single_balls(46, 60), rho=0.0)

    assert one_day.balls_each_worth(0.05, 0.02) == pytest.approx(2.45)
    assert change.detectable_change == pytest.approx(plain.detectable_change * 2.45**0.5)
    assert change.balls_needed == pytest.approx(355.94 * 2.45, abs=0.2)
    assert change.sittings_needed == 15  # 872 balls, 60 each time


def test_the_same_balls_on_four_days_are_worth_more_than_on_one():
    """1 + 9 x .05 + (60 - 10) x .02 on days of 60 balls; with all 240 on one day 50 becomes 230."""
    days, one_day = Probe(144, 240, 2400, 4 * 60**2), Probe(144, 240, 2400)

    assert days.balls_each_worth(0.05, 0.02) == pytest.approx(2.45)
    assert one_day.balls_each_worth(0.05, 0.02) == pytest.approx(1 + 9 * 0.05 + 230 * 0.02)


@pytest.mark.parametrize("swapped", [False, True])
def test_where_sittings_differ_the_one_that_tells_less_says_how_many_balls_and_how_many_sittings_it_takes(swapped):
    """Two blocks of thirty beside sixty single balls, by a correlation of .05: 2.45 balls for each effective one."""
    sittings = [Probe(36, 60, 2 * 30**2), Probe(24, 40, 40)]
    change = probe_change(*(sittings[::-1] if swapped else sittings), rho=0.05)

    assert change.balls_needed == pytest.approx(355.94 * 2.45, abs=0.2)
    assert change.sittings_needed == 22  # 872 balls, 40 in the smaller


def test_a_clear_rise_is_better_and_no_change_is_not_clear():
    assert probe_change(single_balls(60, 100), single_balls(90, 100), rho=0.0).verdict == "better"
    assert probe_change(single_balls(60, 100), single_balls(60, 100), rho=0.0).verdict == "not_clear"


def test_the_smallest_change_that_can_be_told_hangs_on_both_sittings():
    """Weir (2005), by hand: 1.96 sqrt(.6 x .4 x (1/40 + 1/160))."""
    for sittings in ((24, 40), (96, 160)), ((96, 160), (24, 40)):
        change = probe_change(*(single_balls(*one) for one in sittings), rho=0.0)

        assert change.detectable_change == pytest.approx(1.959964 * (0.24 * (1 / 40 + 1 / 160)) ** 0.5, abs=1e-6)


def test_a_clear_fall_is_worse():
    assert probe_change(single_balls(90, 100), single_balls(60, 100), rho=0.0).verdict == "worse"


@pytest.mark.parametrize("counts", [(0, 60), (60, 0)])
def test_either_sitting_without_balls_is_refused(counts):
    before, after = (Probe(0, balls, balls) for balls in counts)

    with pytest.raises(ValueError, match=f"{counts[0]} before, {counts[1]} after"):
        probe_change(before, after, rho=0.05)


def test_a_sitting_without_balls_is_refused_with_both_counts():
    with pytest.raises(ValueError, match="0 before, 60 after"):
        probe_change(Probe(0, 0, 0), Probe(36, 60, 600), rho=0.05)
