"""A line that names a dimension in braces stands once for each; every other line stays as it is."""

from models.records import LOGGED_DIMENSIONS
from models.words import DIMENSION
from sql.dimensions import with_dimensions


def test_a_line_stands_once_for_each_dimension_in_their_order() -> None:
    assert with_dimensions("select\n    c.{dimension},\n    c.cell").splitlines() == [
        "select",
        *(f"    c.{name}," for name in DIMENSION.names),
        "    c.cell",
    ]


def test_a_line_of_the_log_stands_for_what_a_line_of_the_log_says() -> None:
    """Place and family follow from the setup and the spin, the band from the tempo."""
    assert with_dimensions("l.{logged}") == "\n".join(f"l.{name}" for name in LOGGED_DIMENSIONS)
    assert set(DIMENSION.names) - set(LOGGED_DIMENSIONS) == {"depth", "side", "spin_family", "tempo_band"}


def test_a_meaning_names_the_words_where_they_are_few() -> None:
    depth, _, _, spin, *_ = with_dimensions("{dimension}: {meaning}").splitlines()

    assert (depth, spin) == ("depth: where the feeder stands: back, middle, near", "spin: the spin of the fed ball")


def test_what_names_no_dimension_stays_to_the_last_blank() -> None:
    assert with_dimensions("with  x as (\n\n    select 1\n)") == "with  x as (\n\n    select 1\n)"
