"""Passwords: which are taken, and what is kept of them."""

import pytest
from zxcvbn.frequency_lists import FREQUENCY_LISTS

from dashboard.door import passwords

LOOKS_AT_HASHES = True


def test_a_password_is_known_again_in_every_way_to_compose_its_letters() -> None:
    """NIST SP 800-63B asks for one form of Unicode before hashing: keyboards compose é in two ways."""
    kept = passwords.hashed("caf\u00e9 under the net")

    assert passwords.matches(kept, "cafe\u0301 under the net")
    assert not passwords.matches(kept, "cafe under the net")
    assert not passwords.matches(None, "the password of nobody")


def test_what_is_kept_of_a_password_is_argon2id_at_the_strength_of_rfc_9106() -> None:
    """RFC 9106, section 4, second recommended option: t=3 passes, m=2^16 KiB, p=4 lanes."""
    assert passwords.hashed("correct horse battery").startswith("$argon2id$v=19$m=65536,t=3,p=4$")


@pytest.mark.parametrize(
    ("weak", "told"),
    [
        ("short", "saw 5 characters, expected 10 to 200"),
        ("x" * 201, "saw 201 characters"),
        ("", "saw 0 characters"),
        ("aaaaaaaaaaaa", "easy to guess"),
        ("qwertyuiop", "most common"),
        ("1234567890", "most common"),
        ("Password123", "most common"),
        ("trustno1trustno1", "most common"),
        ("qwertzuiopü", "most common"),
        ("ada lindada lind", "your name, or of the club's"),
        ("AdaLind2026", "your name, or of the club's"),
        ("Northgate1998", "your name, or of the club's"),
        ("northgate04", "your name, or of the club's"),
    ],
)
def test_a_password_that_is_easy_is_not_taken(weak: str, told: str) -> None:
    with pytest.raises(passwords.WeakPassword, match=told):
        passwords.require_strong(weak, ["Ada Lind", "Northgate TTC", "northgate"])


@pytest.mark.parametrize("good", ["correct horse battery", "another long password", "wq7!Rv0z2k", "łódka pod siatką"])
def test_a_password_that_others_would_not_try_is_taken(good: str) -> None:
    passwords.require_strong(good, ["Ada Lind", "Northgate TTC", "northgate"])

    assert len(good) >= passwords.SHORTEST


def test_the_list_of_common_passwords_is_there_and_of_some_length() -> None:
    """The frequency list of the package zxcvbn (MIT), made of leaked passwords: M. Burnett's and others'."""
    common = FREQUENCY_LISTS["passwords"]
    long_ones = [word for word in common if len(word) >= passwords.SHORTEST]

    assert len(common) > 25_000
    assert len(long_ones) > 300
    for word in long_ones[:40]:
        with pytest.raises(passwords.WeakPassword):
            passwords.require_strong(word, [])
