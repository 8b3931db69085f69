import pytest
from hypothesis import given
from hypothesis import strategies as st

from dashboard.door.rates import Allowance, Allowances, Rate


def test_a_burst_is_there_at_once_and_the_rest_waits_its_turn() -> None:
    allowance = Allowance(Rate(burst=3, per_s=2), 100.0)

    assert [allowance.take(100.0) for _ in range(5)] == pytest.approx([0, 0, 0, 0.5, 1.0])
    assert allowance.take(102.0) == 0


def test_what_is_given_back_is_there_again() -> None:
    allowance = Allowance(Rate(burst=1, per_s=1), 0.0)
    waited = [allowance.take(0.0) for _ in range(3)]
    allowance.give_back(2)

    assert waited == [0, 1, 2]
    assert allowance.take(0.0) == 1


def test_what_is_not_there_is_not_taken() -> None:
    allowance = Allowance(Rate(burst=1, per_s=1 / 60), 0.0)

    assert [allowance.take_if_there(s) for s in (0.0, 1.0, 30.0, 60.0, 61.0)] == [True, False, False, True, False]


@given(st.lists(st.floats(0, 1), min_size=1, max_size=200))
def test_never_more_than_the_rate_is_given(gaps_s: list[float]) -> None:
    rate = Rate(burst=5, per_s=3)
    allowance, now_s, given = Allowance(rate, 0.0), 0.0, 0
    for gap_s in gaps_s:
        now_s += gap_s
        given += allowance.take_if_there(now_s)

    assert given <= rate.burst + rate.per_s * now_s + 1e-6


def test_of_many_who_ask_once_nothing_is_kept() -> None:
    allowances = Allowances(Rate(burst=2, per_s=1))
    for one in range(10_000):
        allowances.of(one, float(one)).take(float(one))

    assert len(allowances._of) <= Allowances.MOST_KEPT
