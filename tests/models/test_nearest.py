"""Which known words may be meant by a mistyped one."""

import pytest

from models.nearest import MOST_OFFERED, fitting, nearest
from models.words import SPIN

SETUPS = ("BC", "MR", "NC", "NR", "XY")


@pytest.mark.parametrize(
    ("seen", "named", "found"),
    [
        ("bakspin", (), ("backspin",)),
        ("Heavy topspn", (), ("heavy_topspin",)),
        ("quick", (), ()),
    ],
)
def test_a_mistyped_word_has_the_words_that_are_about_as_like(
    seen: str, named: tuple[str, ...], found: tuple[str, ...]
) -> None:
    assert fitting(seen, SPIN.names, frozenset(named)) == found


def test_of_a_short_code_all_that_fit_are_offered_the_one_with_its_signs_first() -> None:
    assert fitting("CN", SETUPS)[0] == "NC"
    assert {"NC", "NR"} <= set(fitting("CN", SETUPS)) <= {"NC", "NR", "BC"}


def test_what_the_file_itself_names_weighs_more() -> None:
    assert fitting("NX", ("NA", "NC", "NR"))[0] == "NA"
    assert fitting("NX", ("NA", "NC", "NR"), frozenset({"NR"}))[0] == "NR"


def test_no_more_than_a_few_are_offered_and_the_nearest_is_the_first_of_them() -> None:
    codes = [f"P{number:02}" for number in range(1, 40)]

    assert len(fitting("P0", codes)) == MOST_OFFERED
    assert nearest("P0", codes) == fitting("P0", codes)[0]
