"""The form of a day is not told as a change; in the small form that the suite can bear."""

from tests.simulations.probe_null import alarms


def test_few_test_sets_are_told_to_have_changed_where_only_the_day_differs():
    """By chance ten of two hundred, and hardly ever eighteen; without the form of the day twice as many and more."""
    found = alarms(10)

    assert found.told < 18
    assert found.without_the_day > 1.5 * found.told


def test_several_days_tell_a_real_change_where_one_seldom_does():
    assert alarms(5, rise=0.5, sittings=8).rate > 2 * alarms(5, rise=0.5).rate
