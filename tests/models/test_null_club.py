"""Where there is nothing to find, nothing is found more than one time in twenty. Small form of tests/simulations."""

import pytest

from tests.simulations.null_club import mistake_alarms, null_alarms, probe_alarms, real_findings, shuffled_alarms

KINDS = ["trend", "cost", "reach", "gap"]


@pytest.fixture(scope="module")
def in_null_clubs():
    return null_alarms(clubs=10, draws=500)


@pytest.fixture(scope="module")
def in_shuffled_clubs():
    return shuffled_alarms(clubs=10, draws=500)


@pytest.fixture(scope="module")
def in_unlike_clubs():
    return real_findings(clubs=3, draws=500)


@pytest.mark.parametrize("kind", KINDS)
def test_a_club_without_differences_gives_false_alarms_at_the_nominal_rate(kind, in_null_clubs):
    assert in_null_clubs[kind].is_quiet, in_null_clubs[kind]


@pytest.mark.parametrize("kind", KINDS)
def test_findings_vanish_when_labels_are_dealt_again_within_each_player(kind, in_shuffled_clubs):
    assert in_shuffled_clubs[kind].is_quiet, in_shuffled_clubs[kind]


@pytest.mark.parametrize(("kind", "least"), [("trend", 0.4), ("cost", 0.8), ("reach", 0.15), ("gap", 0.12)])
def test_real_differences_are_found_so_that_silence_means_something(kind, least, in_unlike_clubs):
    assert in_unlike_clubs[kind].rate >= least


def test_a_fixed_test_set_without_change_raises_a_false_alarm_at_the_nominal_rate():
    assert probe_alarms(players=1000).is_quiet


def test_mistakes_that_go_with_no_spin_stand_out_for_fewer_than_one_player_in_twenty():
    assert mistake_alarms(players=400).rate <= 0.05
