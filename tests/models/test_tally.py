"""How often things come up, and which lie furthest apart, where the answer could go either way."""

from datetime import date

from models.tally import furthest_apart, tally
from models.weeks import last_day_of_week, monday_of


def test_the_most_common_comes_first_and_of_equals_the_first_seen() -> None:
    assert list(tally(["short", "long", "long", "short", "half_long"]).items()) == [
        ("short", 2),
        ("long", 2),
        ("half_long", 1),
    ]


def test_the_lowest_and_the_highest_leave_out_what_has_no_number() -> None:
    rates = {"a": 0.5, "b": None, "c": 0.2, "d": 0.5, "e": 0.2}

    assert furthest_apart(rates, rates.__getitem__) == ((0.2, "c"), (0.5, "a"))


def test_one_number_alone_lies_apart_from_nothing() -> None:
    rates = {"a": 0.5, "b": None}

    assert furthest_apart(rates, rates.__getitem__) is None


def test_a_week_ends_with_its_sunday_also_over_a_new_year() -> None:
    sunday = date(2027, 1, 3)

    assert (monday_of(sunday), last_day_of_week(date(2026, 12, 28))) == (date(2026, 12, 28), sunday)
