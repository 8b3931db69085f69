"""The attacks of `attack.py` for some seconds: honest people meet no fault, and neither memory nor log grows much."""

from collections import defaultdict
from pathlib import Path

import pytest

from tests.torture.attack import ATTACKS, GOAL_LOG_MB, GOAL_MEMORY_MB, Withstood, attack
from tests.torture.crowd import Looked, served_folder
from tests.torture.served_club import ServedClub
from tests.torture.watching import PROC


@pytest.mark.proof
@pytest.mark.skipif(not PROC.is_dir(), reason="no /proc here: memory cannot be looked at")
def test_honest_people_meet_no_fault_while_somebody_tries_to_stop_the_club(tmp_path: Path) -> None:
    with served_folder(ServedClub(tmp_path).folder, tmp_path / "server.log") as club:
        withstood = attack(club, 8, honest=4, old_blocks=3)

    assert withstood.looked.faults == []
    assert len(withstood.looked.all_s) >= 4
    assert len(withstood.attacks) == len(ATTACKS), "each was tried"
    assert withstood.memory_mb < GOAL_MEMORY_MB
    assert withstood.log_mb < GOAL_LOG_MB


def looked(*took_s: float, faults: tuple[str, ...] = ()) -> Looked:
    return Looked(defaultdict(list, {"needs": list(took_s)}), list(faults))


def test_what_was_not_withstood_is_told() -> None:
    quick = [0.1] * 100

    assert Withstood(looked(*quick), 10, 0.1).is_as_wanted
    assert not Withstood(looked(*quick[10:], *[9.0] * 10), 10, 0.1).is_as_wanted
    assert not Withstood(looked(*quick, faults=("a fault",)), 10, 0.1).is_as_wanted
    assert not Withstood(looked(*quick), 400, 0.1).is_as_wanted
    assert "log +3.00 MB (goal 1.0)" in Withstood(looked(*quick), 10, 3).summary
