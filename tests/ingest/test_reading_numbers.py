"""Decimal signs: one for a file, found in its number columns, and never a sign between thousands."""

import pytest

from ingest.reading import read_log
from tests.ingest.log_files import column, sessions, why_unreadable


def tempos(*typed):
    return sessions(separator=";", tempo_bpm=list(typed)).encode()


@pytest.mark.parametrize(
    ("typed", "plain", "sign"),
    [
        (["40,5", "40"], ["40.5", "40"], "comma"),
        (["40.5", "40"], ["40.5", "40"], "point"),
        (["40", "45"], ["40", "45"], "none seen"),
        ([",5", "-0,25", "+1,0"], [".5", "-0.25", "+1.0"], "comma"),
        (["40,5", "1,250"], ["40.5", "1.250"], "comma"),
        (["0,250"], ["0.250"], "comma"),
        (["40,5 balls", "1,2,3"], ["40,5 balls", "1,2,3"], "none seen"),
    ],
)
def test_a_decimal_comma_becomes_a_point(typed, plain, sign):
    reading = read_log("week12.csv", tempos(*typed))

    assert (reading.lines["tempo_bpm"].to_list(), reading.taken.decimal_sign) == (plain, sign)


def test_a_file_with_both_decimal_signs_is_refused_with_one_of_each():
    assert "40.5 and 41,5" in why_unreadable(tempos("40.5", "41,5"))


@pytest.mark.parametrize("typed", ["1,250", "1,250,000", "1,250.5"])
def test_a_sign_that_may_part_thousands_proves_no_decimal_comma_and_is_left_for_screening(typed):
    assert column(tempos(typed), "tempo_bpm") == [typed]


def test_a_thousand_balls_never_become_one_ball():
    content = sessions(separator=";", balls=["1,000", "40,0"], tempo_bpm=["40,5", "40,5"]).encode()

    assert column(content, "balls") == ["1,000", "40.0"]


def test_a_comma_in_a_note_or_a_code_says_nothing_of_numbers():
    content = sessions(separator=";", note=["1,5"], setup=["2,5"], tempo_bpm=["40.5"]).encode()

    assert column(content, "note") == ["1,5"]
    assert column(content, "setup") == ["2,5"]


def test_the_columns_of_a_file_share_one_decimal_sign():
    content = b"setup;x_cm;y_cm\nBC;-20,5;0.5\n"

    assert "0.5 and -20,5" in why_unreadable(content)
