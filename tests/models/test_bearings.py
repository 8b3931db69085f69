"""Places and turns as people tell them: a size, a side and a line, each at the edge where it changes."""

import pytest

from models.bearings import FromLine, ToSide, from_feeder_end, from_nearer_line, shifted, to_side
from models.stance import Place


@pytest.mark.parametrize(
    ("signed", "told"),
    [(70.0, ToSide(70.0, "right")), (-70.0, ToSide(70.0, "left")), (0.5, ToSide(0.5, "right")), (-0.49, None)],
)
def test_a_sign_is_a_side_of_the_player_and_what_is_too_little_is_none(signed: float, told: ToSide | None) -> None:
    assert to_side(signed, 0.5) == told


def test_nothing_at_all_has_no_side() -> None:
    assert to_side(0.0) is None


def test_the_other_side_is_that_of_who_looks_at_the_player() -> None:
    assert [to_side(1.0).other, to_side(-1.0).other] == ["left", "right"]


@pytest.mark.parametrize(
    ("x_cm", "told"),
    [(30.0, FromLine(30.0, "before_feeder_end")), (-30.0, FromLine(30.0, "behind_feeder_end")), (0.4, None)],
)
def test_a_feeder_stands_before_or_behind_its_end_line(x_cm: float, told: FromLine | None) -> None:
    assert from_feeder_end(Place(x_cm, 0.0)) == told


def test_a_target_is_told_from_the_line_that_is_nearer() -> None:
    """The half is 137 cm deep (ITTF Law 2.1.1: a table of 274 cm with the net half-way)."""
    near_net, near_end = from_nearer_line(Place(172.0, 0.0)), from_nearer_line(Place(245.0, 0.0))

    assert (near_net, near_end) == (FromLine(35.0, "behind_net"), FromLine(29.0, "before_player_end"))


def test_a_shift_counts_across_the_table_only() -> None:
    assert shifted(Place(0.0, 10.0), Place(90.0, -10.0)) == ToSide(20.0, "left")
    assert shifted(Place(0.0, 10.0), Place(90.0, 10.2)) is None
