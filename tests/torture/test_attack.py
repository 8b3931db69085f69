"""The attacks of `attack.py` for some seconds: honest people meet no fault, and neither memory nor log grows much."""

from pathlib import Path

import pytest

from tests.torture.attack import GOAL_LOG_MB, GOAL_MEMORY_MB, Withstood, attack
from tests.torture.soak import served
from tests.torture.watching import PROC


@pytest.mark.proof
@pytest.mark.skipif(not PROC.is_dir(), reason="no /proc here: memory cannot be looked at")
def test_honest_people_meet_no_fault_while_somebody_tries_to_stop_the_club(tmp_path: Path) -> None:
    with served(tmp_path) as club:
        withstood = attack(club, 8, honest=4)

    assert withstood.faults == []
    assert len(withstood.took_s) >= 4
    assert withstood.memory_mb < GOAL_MEMORY_MB
    assert withstood.log_mb < GOAL_LOG_MB


def test_what_was_not_withstood_is_told() -> None:
    quick = [0.1] * 100

    assert Withstood(quick, [], 10, 0.1).is_as_wanted
    assert not Withstood([*quick[10:], *[9.0] * 10], [], 10, 0.1).is_as_wanted
    assert not Withstood(quick, ["a fault"], 10, 0.1).is_as_wanted
    assert not Withstood(quick, [], 400, 0.1).is_as_wanted
    assert "log +3.00 MB (goal 1.0)" in Withstood(quick, [], 10, 3).summary
