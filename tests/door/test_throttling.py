"""Whoever guesses passwords is slowed down: by name, by address, and however many tries come at once."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest

from dashboard.door import passwords
from models.throttling import FREE_FAILURES_OF_ADDRESS, LONGEST_DELAY_S
from sql.club import failures
from sql.club.file import ClubConnection, at, club_file
from sql.folder import DataFolder


@pytest.fixture
def file(folder: DataFolder) -> Iterator[ClubConnection]:
    with club_file(folder) as connection:
        yield connection


def later(file: ClubConnection, minutes: float) -> None:
    """Let time pass: everything that happened is so much longer ago."""
    for rowid, happened_at in file.execute("select rowid, happened_at from failures").fetchall():
        moved = at(datetime.fromisoformat(happened_at) - timedelta(minutes=minutes))
        file.execute("update failures set happened_at = ? where rowid = ?", [moved, rowid])


def test_ten_failures_lock_a_name_whatever_address_they_come_from(file: ClubConnection) -> None:
    waits = [failures.begin_attempt(file, "Ada Lind", f"10.0.0.{number}") for number in range(11)]

    assert waits[:10] == [0] * 10
    assert 800 < waits[10] <= 900, "a quarter of an hour"
    assert failures.begin_attempt(file, "ada  LIND", "10.0.0.99") > 0, "in every spelling"
    assert failures.begin_attempt(file, "M. Roe", "10.0.0.99") == 0


def test_a_locked_name_is_open_again_after_a_quarter_of_an_hour(file: ClubConnection) -> None:
    for number in range(10):
        failures.begin_attempt(file, "Ada Lind", f"10.0.0.{number}")
    later(file, 15.1)

    assert failures.begin_attempt(file, "Ada Lind", "10.0.0.1") == 0


def test_an_address_waits_twice_as_long_each_time_whatever_names_it_tries(file: ClubConnection) -> None:
    waits = []
    for number in range(12):
        if waits and waits[-1]:
            later(file, waits[-1] / 60)
            assert failures.begin_attempt(file, f"name {number}", "10.0.0.1") == 0
        waits.append(failures.begin_attempt(file, f"other {number}", "10.0.0.1"))

    growing = [wait for wait in waits if wait]
    assert waits[:5] == [0] * 5
    assert growing[:5] == [2, 4, 8, 16, 32]
    assert max(growing) <= LONGEST_DELAY_S
    assert failures.begin_attempt(file, "Ada Lind", "10.0.0.2") == 0


def test_a_hundred_tries_at_once_get_no_further_than_one_by_one(file: ClubConnection) -> None:
    """A try counts as failed from its beginning: none slips through while another is still looked at."""
    open_tries = sum(failures.begin_attempt(file, "Ada Lind", "10.0.0.1") == 0 for _ in range(100))

    assert open_tries == FREE_FAILURES_OF_ADDRESS


def test_signing_in_now_and_then_does_not_buy_an_address_more_guesses(file: ClubConnection) -> None:
    for number in range(4):
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


def test_a_password_is_known_again_in_every_way_to_compose_its_letters() -> None:
    """NIST SP 800-63B asks for one form of Unicode before hashing: keyboards compose é in two ways."""
    kept = passwords.hashed("caf\u00e9 under the net")

    assert passwords.matches(kept, "cafe\u0301 under the net")
    assert not passwords.matches(kept, "cafe under the net")
    assert not passwords.matches(None, "the password of nobody")


def test_what_is_kept_of_a_password_is_argon2id_at_the_strength_of_rfc_9106() -> None:
    """RFC 9106, section 4, second recommended option: t=3 passes, m=2^16 KiB, p=4 lanes."""
    assert passwords.hashed("correct horse battery").startswith("$argon2id$v=19$m=65536,t=3,p=4$")


@pytest.mark.parametrize("weak", ["short", "aaaaaaaaaaaa", "ada lindada lind", "x" * 201, ""])
def test_a_password_that_is_easy_is_not_taken(weak: str) -> None:
    with pytest.raises(passwords.WeakPassword, match=r"saw|guess"):
        passwords.require_strong(weak, "Ada Lind")


def test_now_is_in_utc_and_sorts_as_text() -> None:
    early, late = at(datetime(2026, 3, 1, tzinfo=UTC)), at(datetime(2026, 11, 25, 9, tzinfo=UTC))

    assert early < late
    assert late == "2026-11-25T09:00:00.000000+00:00"
