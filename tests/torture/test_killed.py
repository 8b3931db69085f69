"""A command that is killed leaves every acknowledged batch whole and no half batch; the next command mends the rest."""

import duckdb
import pytest

from sql.digests import forget_digest
from tests.torture.__main__ import OLD_BACKUP, kill_in_turn, summary_of_kills
from tests.torture.victim import Victim

KILLS, KILLS_IN_PROOF = 3, 40


@pytest.fixture(scope="module")
def victim(tmp_path_factory: pytest.TempPathFactory) -> Victim:
    """A club each of whose commands has been given once, and none of which was killed yet."""
    return Victim(tmp_path_factory.mktemp("victim"), OLD_BACKUP, seed=20261125)


def test_nothing_is_lost_half_or_double_when_commands_are_killed(victim: Victim) -> None:
    """In full: uv run python -m tests.torture --full."""
    assert_commands_may_be_killed(victim, KILLS)

    assert min(ended.steps for ended in victim.moments.whole.values()) > 10, "there are moments to choose from"


@pytest.mark.proof
def test_nothing_is_lost_when_many_commands_are_killed(victim: Victim) -> None:
    assert_commands_may_be_killed(victim, KILLS_IN_PROOF)


def assert_commands_may_be_killed(victim: Victim, kills: int) -> None:
    kill_in_turn(victim, kills)

    assert victim.figures.kills >= kills
    assert victim.figures.acknowledged >= 3
    assert victim.figures.are_sound, summary_of_kills(victim.figures)


def test_a_planted_loss_and_a_planted_half_batch_are_counted(victim: Victim) -> None:
    """The figures above could be others: a whole batch is taken out of the log, and one line out of another."""
    for _ in range(2):
        victim.give("load")
    one, other = sorted(victim.acknowledged - victim.withdrawn)[-2:]
    with duckdb.connect(str(victim.data / "warehouse.duckdb")) as connection:
        connection.execute(f"delete from log.batches where batch = {victim.batch_of[other]}")
        connection.execute(f"delete from log.sessions where batch = {victim.batch_of[one]} and line = 2")
    forget_digest(victim.data / "warehouse.duckdb")  # Without it every command would refuse the changed file.
    before = victim.figures.lost, victim.figures.half, len(victim.figures.unmended)

    victim.see()

    assert (victim.figures.lost, victim.figures.half) == (before[0] + 1, before[1] + 1)
    assert len(victim.figures.unmended) > before[2]
