"""Dates as people write them; a file whose order of day and month is not certain is refused, never guessed."""

import pytest

from ingest.reading import read_log
from tests.ingest.log_files import column, sessions, why_unreadable


def dated(*dates):
    return sessions(session_date=list(dates)).encode()


def days(*dates, **said):
    return column(dated(*dates), "session_date", **said)


def form(*dates, **said):
    return read_log("week12.csv", dated(*dates), **said).taken.date_form


@pytest.mark.parametrize(
    "typed",
    [
        "2026-03-02",
        "2026-3-2",
        "2026/03/02",
        "2026.03.02",
        "2026-03-02 00:00",
        "2026-03-02T00:00:00",
        "2026-03-02 00:00:00.000",
    ],
)
def test_a_date_that_begins_with_its_year_is_certain(typed):
    """ISO 8601 for the hyphens; the other signs are common practice, no source."""
    assert days(typed) == ["2026-03-02"]
    assert form(typed) == "year first"


@pytest.mark.parametrize(
    "typed", ["2.3.2026", "02.03.2026", "2. 3. 2026", "2.3.26", "02.03.2026 00:00:00", "2.03.2026"]
)
def test_a_date_with_dots_is_read_day_first(typed):
    """Common practice in the countries that write dots (no source)."""
    assert days(typed) == ["2026-03-02"]
    assert form(typed) == "day first"


@pytest.mark.parametrize(
    ("typed", "plain"),
    [
        (["02/03/2026", "13/03/2026"], ["2026-03-02", "2026-03-13"]),
        (["2-3-26", "31-12-26"], ["2026-03-02", "2026-12-31"]),
        (["02/03/2026", "2.3.2026"], ["2026-03-02", "2026-03-02"]),
        (["02/03/2026", "2026-12-24", "24/12/2026"], ["2026-03-02", "2026-12-24", "2026-12-24"]),
    ],
)
def test_one_date_that_shows_the_day_first_tells_the_order_of_the_whole_file(typed, plain):
    assert days(*typed) == plain
    assert form(*typed) == "day first"


@pytest.mark.parametrize("typed", ["02/03/2026", "2-3-2026", "02/03/26"])
def test_a_file_whose_dates_all_may_be_either_is_refused_with_both_readings(typed):
    sentence = why_unreadable(dated(typed, "2026-03-02", "11/12/2026"))

    assert f"the date '{typed}', which may be 2026-03-02 or 2026-02-03" in sentence
    assert "--dates day-first" in sentence


def test_a_date_that_is_the_same_day_in_either_order_is_certain():
    assert days("02/02/2026") == ["2026-02-02"]


@pytest.mark.parametrize(("said", "plain"), [("day first", "2026-03-02"), ("month first", "2026-02-03")])
def test_the_user_may_say_the_order_of_an_ambiguous_file(said, plain):
    assert days("02/03/2026", date_form=said) == [plain]
    assert form("02/03/2026", date_form=said) == said


def test_dates_that_can_only_be_month_first_are_not_taken_until_the_user_says_so():
    assert "'03/25/2026', which can only be month first" in why_unreadable(dated("03/02/2026", "03/25/2026"))
    assert days("03/02/2026", "03/25/2026", date_form="month first") == ["2026-03-02", "2026-03-25"]


def test_two_hands_in_one_file_are_shown_to_each_other():
    sentence = why_unreadable(dated("25/03/2026", "03/25/2026"))

    assert "'25/03/2026', which is day first, and '03/25/2026', which is month first" in sentence


def test_of_two_hands_the_one_that_the_user_named_is_taken_and_the_other_is_left_for_screening():
    assert days("25/03/2026", "03/25/2026", date_form="day first") == ["2026-03-25", "03/25/2026"]


@pytest.mark.parametrize(
    "typed",
    [
        "31.02.2026",
        "2026-02-31",
        "32/13/2026",
        "yesterday",
        "2026-03-02 17:30",
        "2.3.",
        "2.3.026",
        "46083",
        "2.3-2026",
        "02032026",
        "٢.٣.٢٠٢٦",
    ],
)
def test_what_is_no_date_stays_as_typed_so_that_its_line_is_refused_and_not_the_file(typed):
    assert days("2026-03-01", typed) == ["2026-03-01", typed]


def test_all_date_columns_of_a_file_speak_for_one_another():
    content = b"setup,x_cm,y_cm,valid_from\nBC,0,0,02/03/2026\nMR,60,0,\nNL,99,0,25/03/2026\n"

    assert column(content, "valid_from") == ["2026-03-02", None, "2026-03-25"]


def test_the_report_shows_how_a_date_was_read():
    """A year of two digits is read as 20YY; where that is wrong, the example shows it."""
    assert "Dates: day first: 26-03-02 is 2002-03-26." in read_log("a.csv", dated("26-03-02")).taken.sentences


def test_a_log_without_dates_says_nothing_of_them():
    taken = read_log("players.csv", b"player,handedness\nP01,right\n").taken

    assert taken.date_form == "none seen"
    assert len(taken.sentences) == 1


def test_only_an_order_of_day_and_month_can_be_said():
    with pytest.raises(ValueError, match="day first"):
        read_log("week12.csv", dated("2026-03-02"), date_form="year first")
