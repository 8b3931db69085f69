"""People in words: whom an account stands for, by name, and nothing said twice."""

import pytest

from dashboard.words.club import lines_named
from dashboard.words.people import person_in_words
from models.permits import Reader, Role

NAMES = {"ADA": "Ada Lind", "BEN": "Ben Orr"}


@pytest.mark.parametrize(
    ("reader", "told"),
    [
        (Reader("Otto Orr", Role.GUARDIAN, 1, frozenset({"BEN", "ADA"})), "Otto Orr, guardian of Ada Lind, Ben Orr"),
        (Reader("Otto Orr", Role.GUARDIAN, 1, frozenset({"EVA"})), "Otto Orr, guardian of EVA"),
        (Reader("ada", Role.PLAYER, 1, frozenset({"ADA"})), "ada, player Ada Lind"),
        (Reader("Ada Lind", Role.PLAYER, 1, frozenset({"ADA"})), "Ada Lind"),
        (Reader("Coordinator", Role.COORDINATOR, 1), "Coordinator"),
        (Reader("M. Roe", Role.COACH, 1, groups=frozenset({"Juniors"})), "M. Roe, coach of Juniors"),
    ],
)
def test_somebody_is_told_with_the_role_and_the_names_of_players(reader: Reader, told: str) -> None:
    assert person_in_words(reader, NAMES) == told


@pytest.mark.parametrize(
    ("lines", "told"), [([23], "line 23"), ([23, 24], "lines 23 and 24"), ([2, 3, 9], "lines 2, 3 and 9")]
)
def test_one_line_is_not_called_lines(lines: list[int], told: str) -> None:
    assert lines_named(lines) == told
