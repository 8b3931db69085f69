"""Where there is nothing to find, nothing is found more than one time in twenty. Small form of tests/simulations.

Each test takes three clubs of twenty players through the warehouse: 43,200 balls in, the published tables out.
"""

from dataclasses import replace

import pytest

from tests.simulations.bars import CLUBS, every_bar, faultless_bar, strained_bars_of
from tests.simulations.late_cells import CLUB, called_weak
from tests.simulations.null_club import (
    matched_alarms,
    mixed_days_alarms,
    null_alarms,
    probe_alarms,
    real_findings,
    shuffled_alarms,
    shuffled_by_kind_alarms,
    unsteady_mistake_alarms,
)


def too_many(alarms):
    return {what: found for what, found in alarms.items() if not found.is_quiet}


def test_a_club_without_differences_gives_false_alarms_at_the_nominal_rate():
    """Trend, then and now, cost of a change, rarely met, weak combinations and mistakes that stand out."""
    alarms = null_alarms(clubs=3)

    assert too_many(alarms) == {}
    assert all(found.answers > 30 for found in alarms.values())


@pytest.mark.proof
def test_findings_vanish_when_the_outcomes_of_each_player_are_dealt_again():
    assert too_many(shuffled_alarms(clubs=3)) == {}


@pytest.mark.proof
def test_what_compares_like_with_like_falls_silent_when_outcomes_are_dealt_again_within_each_kind_of_ball():
    """The kinds of ball stay as unlike as they were."""
    assert too_many(shuffled_by_kind_alarms(clubs=3)) == {}


@pytest.mark.proof
def test_rarely_met_balls_are_not_called_weak_because_strong_players_meet_the_hard_ones():
    assert too_many(matched_alarms(clubs=3)) == {}


def test_real_differences_are_found_so_that_silence_means_something():
    found = real_findings(clubs=3)

    least = {
        "trend": 0.4,
        "then and now": 0.3,
        "cost of a change": 0.8,
        "rarely met": 0.15,
        "weak": 0.05,
        "mistakes": 0.12,
    }
    assert {what: found[what] for what, rate in least.items() if found[what].rate < rate} == {}


def test_who_never_misses_is_weak_on_nothing():
    assert faultless_bar().is_kept


def test_a_mix_that_gets_easier_is_no_progress_where_nobody_shares_the_codes():
    """Compared with club mates' rates of exactly the same balls alone, nearly all of these players would rise."""
    bars = list(strained_bars_of("own codes", replace(CLUBS["own codes"], drift=1.2), players=8))

    assert [bar.sentence for bar in bars if not bar.is_believable] == []


@pytest.mark.proof
def test_a_ball_that_a_steady_player_never_met_before_is_no_weakness_for_being_new():
    new, others = called_weak(CLUB, clubs=3)

    assert max(new, others) <= 0.05


@pytest.mark.proof
def test_every_bar_of_the_strained_clubs_is_kept_as_far_as_some_players_can_tell():
    assert [bar.sentence for bar in every_bar(players=60) if not bar.is_believable] == []


def test_a_fixed_test_set_without_change_raises_a_false_alarm_at_the_nominal_rate():
    assert probe_alarms(players=1000).is_quiet


def test_days_that_are_mixed_and_days_that_are_not_cost_nothing_by_their_form_alone():
    """Were blocks dealt and not sessions, one player in ten would seem to lose or to gain."""
    assert mixed_days_alarms(players=300).is_quiet


def test_mistakes_that_go_with_no_spin_stand_out_for_fewer_than_one_player_in_twenty():
    """Blocks differ in their mistakes as well as in their hits."""
    assert unsteady_mistake_alarms(players=400).rate <= 0.05
