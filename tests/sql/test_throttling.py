"""Whoever guesses passwords is slowed down, however many tries come at once, and keeps nobody else out by that."""

from collections.abc import Iterator

import pytest

from models.permits import Role
from models.throttling import OF_ADDRESS, OF_NAME, OF_NAME_FROM_ADDRESS, wait_s
from sql.club import accounts, failures, known_browsers
from sql.club.file import ClubConnection, club_file
from sql.folder import DataFolder


@pytest.fixture
def file(folder: DataFolder) -> Iterator[ClubConnection]:
    with club_file(folder) as connection:
        yield connection


def later(file: ClubConnection, minutes: float) -> None:
    """Let time pass: everything that happened is so much longer ago."""
    file.execute("update failures set at_s = at_s - ?", [60 * minutes])


def tries(file: ClubConnection, name: str, address: str, times: int) -> list[int]:
    """What somebody who guesses is told, time and again: how long to wait."""
    return [failures.begin_attempt(file, name, address) for _ in range(times)]


def from_everywhere(file: ClubConnection, name: str, times: int) -> None:
    for number in range(times):
        assert failures.begin_attempt(file, name, f"10.1.{number // 200}.{number % 200}") == 0


def test_wrong_tries_from_elsewhere_lock_nobody_out(file: ClubConnection) -> None:
    """The attack: ten wrong tries from one place, or from ten, for a name that everybody knows."""
    tries(file, "Ada Lind", "10.0.0.1", 10)
    from_everywhere(file, "Ada Lind", 10)

    assert failures.begin_attempt(file, "ada  LIND", "10.0.0.1") > 0, "the guesser waits, in every spelling"
    assert failures.begin_attempt(file, "Ada Lind", "10.0.0.99") == 0
    assert failures.begin_attempt(file, "M. Roe", "10.0.0.1") == 0, "nor others in the same hall"


def test_many_tries_from_many_places_slow_a_name_down_but_not_the_browser_of_its_person(file: ClubConnection) -> None:
    ada = accounts.by_name(file, "Ada Lind")
    assert ada is not None
    known = known_browsers.remember(file, ada.account, [])
    from_everywhere(file, "Ada Lind", OF_NAME.free_failures)

    assert 0 < failures.begin_attempt(file, "Ada Lind", "10.0.0.99") <= OF_NAME.longest_s
    assert failures.begin_attempt(file, "Ada Lind", "10.0.0.99", [known]) == 0
    assert failures.begin_attempt(file, "M. Roe", "10.1.0.1", [known]) == 0, "nobody else's token opens it"
    assert failures.begin_attempt(file, "Ada Lind", "10.0.0.98", ["guessed"]) > 0


def test_a_known_browser_that_guesses_is_slowed_down_as_any(file: ClubConnection) -> None:
    ada = accounts.by_name(file, "Ada Lind")
    assert ada is not None
    stolen = [known_browsers.remember(file, ada.account, [])]
    waits = [failures.begin_attempt(file, "Ada Lind", f"10.0.0.{number}", stolen) for number in range(6)]

    assert waits == [0, 0, 0, 0, 0, 2]


def test_the_only_coordinator_is_never_locked_out(file: ClubConnection) -> None:
    from_everywhere(file, "Nora Quill", 3 * OF_NAME.free_failures)
    assert failures.begin_attempt(file, "Nora Quill", "10.0.0.99") == 0

    for _ in range(20):
        later(file, tries(file, "Nora Quill", "10.0.0.99", 1)[0] / 60)
        failures.begin_attempt(file, "Nora Quill", "10.0.0.99")
    assert 0 < failures.begin_attempt(file, "Nora Quill", "10.0.0.99") <= 10


def test_with_a_second_coordinator_a_coordinators_name_is_slowed_down_as_any(file: ClubConnection) -> None:
    accounts.add(file, "Second", Role.COORDINATOR)
    from_everywhere(file, "Nora Quill", OF_NAME.free_failures)

    assert failures.begin_attempt(file, "Nora Quill", "10.0.0.99") > 0


def test_failures_are_forgotten_after_a_quarter_of_an_hour(file: ClubConnection) -> None:
    tries(file, "Ada Lind", "10.0.0.1", 6)
    assert failures.begin_attempt(file, "Ada Lind", "10.0.0.1") > 0
    later(file, 15.1)

    assert failures.begin_attempt(file, "Ada Lind", "10.0.0.1") == 0


def test_who_guesses_waits_twice_as_long_each_time(file: ClubConnection) -> None:
    waits = []
    for _ in range(12):
        if waits and waits[-1]:
            later(file, waits[-1] / 60)
            assert failures.begin_attempt(file, "Ada Lind", "10.0.0.1") == 0
        waits.append(failures.begin_attempt(file, "Ada Lind", "10.0.0.1"))

    assert waits[:5] == [0] * 5
    assert [wait for wait in waits if wait][:5] == [2, 4, 8, 16, 32]
    assert max(waits) <= OF_NAME_FROM_ADDRESS.longest_s


def test_an_address_that_tries_many_names_waits_whatever_name_is_next(file: ClubConnection) -> None:
    waits = [failures.begin_attempt(file, f"name {number}", "10.0.0.1") for number in range(40)]

    assert waits[: OF_ADDRESS.free_failures] == [0] * OF_ADDRESS.free_failures
    assert all(waits[OF_ADDRESS.free_failures :])
    assert failures.begin_attempt(file, "Ada Lind", "10.0.0.2") == 0


@pytest.mark.parametrize("steps_s", [31_536_000.0, -31_536_000.0])
def test_no_step_of_a_clock_makes_anybody_wait_for_longer_than_the_delay(file: ClubConnection, steps_s: float) -> None:
    """Seen once: 31,535,987 s, when the clock had been a year ahead. A restart sets the monotonic clock back too."""
    tries(file, "Ada Lind", "10.0.0.1", 6)
    file.execute("update failures set at_s = at_s + ?", [steps_s])

    assert failures.begin_attempt(file, "Ada Lind", "10.0.0.1") == 0
    assert wait_s([steps_s] * 9, 0.0, OF_NAME_FROM_ADDRESS) <= OF_NAME_FROM_ADDRESS.longest_s


def test_a_hundred_tries_at_once_get_no_further_than_one_by_one(file: ClubConnection) -> None:
    """A try counts as failed from its beginning: none slips through while another is still looked at."""
    open_tries = sum(failures.begin_attempt(file, "Ada Lind", "10.0.0.1") == 0 for _ in range(100))

    assert open_tries == OF_NAME_FROM_ADDRESS.free_failures


def test_signing_in_now_and_then_does_not_buy_an_address_more_guesses(file: ClubConnection) -> None:
    for number in range(OF_ADDRESS.free_failures - 1):
        failures.begin_attempt(file, f"name {number}", "10.0.0.1")
    assert failures.begin_attempt(file, "the guesser", "10.0.0.1") == 0
    failures.forgive(file, "the guesser", "10.0.0.1")
    failures.begin_attempt(file, "one more", "10.0.0.1")

    assert failures.begin_attempt(file, "and another", "10.0.0.1") > 0


def test_what_was_typed_as_a_name_is_kept_as_a_hash_only(file: ClubConnection, folder: DataFolder) -> None:
    """People type their password into the wrong field."""
    failures.begin_attempt(file, "correct horse battery", "10.0.0.1")
    everything = b"".join(part.read_bytes() for part in folder.path.glob("club.sqlite*"))

    assert b"correct horse battery" not in everything
