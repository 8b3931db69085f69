"""Two sides on common balls, equally mixed: against published rates, by hand, and where there is nothing to find."""

import numpy as np
import pytest
from scipy import stats
from statsmodels.stats.proportion import confint_proportions_2indep

from models.compare import CellInBlock, Likeness, by_kind, compare, equal_variety
from models.settings import Settings

APART = Likeness(0.0, 0.0)


def cells(*counts: tuple[str, int, int]) -> list[CellInBlock]:
    """Rows of their own sessions: (combination, balls, good)."""
    return [CellInBlock(cell, f"s{i}", 1, balls, good) for i, (cell, balls, good) in enumerate(counts)]


def test_who_trained_the_easier_balls_is_not_called_better() -> None:
    """Charig et al. 1986 (Brit. Med. J. 292:879), the two sizes of stone as two kinds of ball.

    In all, 78 % against 83 %; on either kind the first is the better, and so it is on equal shares.
    """
    open_surgery = cells(("small", 87, 81), ("large", 263, 192))
    keyhole = cells(("small", 270, 234), ("large", 80, 55))

    found = compare(open_surgery, keyhole, APART, Settings())

    assert found.first.success is not None
    assert found.other.success is not None
    assert found.difference is not None
    assert found.first.success.value == pytest.approx((81 / 87 + 192 / 263) / 2)
    assert found.other.success.value == pytest.approx((234 / 270 + 55 / 80) / 2)
    assert found.difference.value > 0
    assert (found.first.balls, found.first.good) == (350, 273)


def test_on_one_kind_of_ball_it_is_the_plain_difference_with_newcombes_range() -> None:
    """Newcombe 1998, Table II (a): 56/70 less 48/80, method 10: 0.0524 to 0.3339; statsmodels gives the same."""
    found = compare(cells(("a", 70, 56)), cells(("a", 80, 48)), APART, Settings())
    low, high = confint_proportions_2indep(56, 70, 48, 80, method="newcomb", compare="diff")

    assert found.difference is not None
    assert (found.difference.low, found.difference.high) == pytest.approx((0.0524, 0.3339), abs=5e-5)
    assert (found.difference.low, found.difference.high) == pytest.approx((low, high), abs=1e-9)
    assert found.verdict == "first"


def test_only_what_both_met_counts() -> None:
    found = compare(cells(("a", 40, 30), ("b", 900, 900)), cells(("a", 40, 30), ("c", 900, 0)), APART, Settings())

    assert found.cells == ("a",)
    assert (found.first.balls, found.other.balls) == (40, 40)
    assert found.difference is not None
    assert found.difference.value == 0


def test_each_kind_that_both_met_by_itself_those_with_most_balls_first() -> None:
    first, other = cells(("a", 50, 30), ("b", 300, 200), ("c", 90, 1)), cells(("b", 70, 40), ("a", 9, 9), ("d", 80, 8))

    kinds = by_kind(first, other, APART, Settings())

    assert [(kind.cell, kind.first.balls, kind.other.balls) for kind in kinds] == [("b", 300, 70), ("a", 50, 9)]
    assert kinds[0].first.success is not None
    assert kinds[0].first.success.value == pytest.approx(200 / 300)
    assert kinds[1].first.success is None, "nine balls tell no rate"


@pytest.mark.parametrize(
    ("first", "other", "verdict"),
    [
        ([], [], "nothing_in_common"),
        ([("a", 50, 5)], [("b", 50, 5)], "nothing_in_common"),
        ([("a", 19, 5)], [("a", 500, 5)], "too_few"),
        ([("a", 5000, 2500)], [("a", 5000, 2500)], "alike"),
        ([("a", 30, 15)], [("a", 30, 16)], "not_clear"),
        ([("a", 200, 20)], [("a", 200, 120)], "other"),
    ],
)
def test_the_verdict(first: list[tuple[str, int, int]], other: list[tuple[str, int, int]], verdict: str) -> None:
    found = compare(cells(*first), cells(*other), APART, Settings())

    assert found.verdict == verdict
    assert (found.difference is None) == (verdict in ("nothing_in_common", "too_few"))


def test_the_same_balls_in_one_session_say_less_than_in_many() -> None:
    in_many = [CellInBlock("a", f"s{i}", 1, 20, 12) for i in range(10)]
    in_one = [CellInBlock("a", "s", 1, 20, 12) for _ in range(10)]
    alike = Likeness(0.1, 0.05)

    wide, narrow = (compare(rows, in_many, alike, Settings()).difference for rows in (in_one, in_many))

    assert wide is not None
    assert narrow is not None
    assert wide.high - wide.low > narrow.high - narrow.low


def test_of_two_who_are_the_same_about_one_in_twenty_is_called_different() -> None:
    """400 pairs without any difference: three combinations, unequal counts, a form of the day on the logit scale."""
    dice = np.random.default_rng(7)
    called = sum(_one_pair(dice) in ("first", "other") for _ in range(400))

    assert called <= 28  # 7 %: 5 % and two standard errors.


def _one_pair(dice: np.random.Generator) -> str:
    hard = dice.normal(0, 1, 3)

    def side() -> list[CellInBlock]:
        rows = []
        for session in range(12):
            form = dice.normal(0, 0.3)
            for block in range(2):
                cell, balls = int(dice.integers(3)), int(dice.integers(10, 40))
                good = int(dice.binomial(balls, 1 / (1 + np.exp(-(hard[cell] + form)))))
                rows.append(CellInBlock("abc"[cell], f"s{session}", block, balls, good))
        return rows

    return compare(side(), side(), Likeness(0.03, 0.02), Settings()).verdict


def test_who_trained_more_is_not_more_varied_for_it() -> None:
    """At 60 balls of each; what is left out by chance is scipy's hypergeometric distribution (Hurlbert 1971)."""
    few, many = cells(("a", 20, 9), ("b", 25, 9), ("c", 15, 9)), cells(("a", 200, 9), ("a", 70, 9), ("d", 30, 9))

    found = equal_variety(few, many, Settings())

    assert found is not None
    assert (found.balls, found.first) == (60, 3)
    assert found.other == pytest.approx(sum(1 - stats.hypergeom.pmf(0, 300, fed, 60) for fed in (270, 30)))


def test_a_handful_of_balls_has_no_variety_to_compare() -> None:
    assert equal_variety(cells(("a", 19, 9)), cells(("a", 900, 9)), Settings(rate_balls=20)) is None
    assert equal_variety([], cells(("a", 900, 9)), Settings()) is None
