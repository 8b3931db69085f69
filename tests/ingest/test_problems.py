"""What a person is told."""

import pytest

from ingest.problems import Refusal, Unreadable, shortened


def test_a_refusal_says_where_what_was_seen_what_was_expected_and_what_to_do():
    refusal = Refusal("week12.csv", 7, "spin", "bakspin", "one of backspin, topspin", "use backspin")

    assert refusal.sentence == (
        "week12.csv, line 7, column spin: saw 'bakspin', expected one of backspin, topspin, do: use backspin"
    )


def test_an_empty_cell_is_called_an_empty_cell():
    refusal = Refusal("week12.csv", 7, "player", "", "the code of a player", "fill it in")

    assert refusal.sentence == (
        "week12.csv, line 7, column player: saw an empty cell, expected the code of a player, do: fill it in"
    )


def test_a_file_that_is_refused_as_a_whole_says_its_sentence():
    refusal = Refusal("scan.csv", None, None, "a picture", "a log", "type it")

    assert str(Unreadable(refusal)) == "scan.csv: saw a picture, expected a log, do: type it"


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("backspin", "backspin"),
        ("x" * 60, "x" * 60),
        ("x" * 61, "x" * 59 + "…"),
        ("two\nlines\tand a tab", "two lines and a tab"),
        ("bell\x07 and \x00", "bell  and  "),
    ],
)
def test_a_long_or_unprintable_cell_is_shown_on_one_short_line(typed, shown):
    assert shortened(typed) == shown
