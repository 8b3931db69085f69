"""The time axis of the hall, and how good its plan is: what is shortened, counted, and told in words."""

import pytest

from dashboard.drawings.hall_axis import AxisBox, AxisSlot, AxisTable, hall_axis, hall_list
from dashboard.words.hall import how_good

LONG = "Wilhelmina-Konstantia Ö."
TABLES = (AxisTable("Table 1, robot", "the feeder feeds"),)
SLOTS = (AxisSlot("18:00", 0, 12, ("Bo Ek",)), AxisSlot("18:12", 12, 12))
BOXES = tuple(
    AxisBox(0, at, (LONG, "Ada L."), (), False, False, f"{clock}, Table 1: {LONG}, Ada Lind.")
    for at, clock in enumerate(("18:00", "18:12"))
)


def test_a_long_name_is_shortened_where_it_has_no_room_and_told_in_full() -> None:
    drawn = hall_axis(TABLES, SLOTS, BOXES, 400)
    told, picture = drawn.split(">", 1)

    assert (picture.count(LONG), picture.count("Wilhelmin")) == (0, 2)
    assert "…" in picture
    assert told.count(LONG) == 2
    assert LONG in hall_axis(TABLES, SLOTS, BOXES, 1180).split(">", 1)[1]


def test_who_rests_is_counted_on_it_and_named_in_its_words_and_in_the_list() -> None:
    told, picture = hall_axis(TABLES, SLOTS, BOXES, 1180).split(">", 1)

    assert "Rest: Bo Ek." in told
    assert picture.count("1 rest") == 1
    assert hall_list(TABLES, SLOTS, BOXES).count("Rest: Bo Ek") == 1


@pytest.mark.parametrize(
    ("gap", "said"),
    [
        (float("inf"), "A plain plan, at once"),
        (0.0, "Proven: no other plan of this hall brings more."),
        (0.29, "could bring at most 29 % more"),
        (7.0, "It is not known how much a better one could bring."),
    ],
)
def test_how_good_a_plan_is_is_told_in_words(gap: float, said: str) -> None:
    assert said in how_good(gap)
