"""What the benchmark of a federation makes of what it measured."""

import pytest

from tests.benchmarks.federation import Built, arithmetic, slopes


def built(engine: str, clubs: int, cpu_s: float) -> Built:
    return Built(engine, clubs, clubs * 100_000, 1.0, cpu_s, 1.0, 1.0, 1.0)


def test_the_slope_is_that_between_the_smallest_and_the_largest_size() -> None:
    found = [built("duckdb", 20, 50.0), built("duckdb", 1, 12.0), built("duckdb", 5, 99.0), built("spark", 1, 60.0)]

    assert slopes(found) == {"duckdb": pytest.approx(20.0)}


def test_a_year_of_more_balls_is_told_by_arithmetic_and_says_so() -> None:
    note, _, *rows = arithmetic({"duckdb": 3.6}, 0.5)

    assert "not measured" in note
    assert rows[0] == "| 100,000,000 | duckdb | 0.1 | 0.05 |"
    assert rows[-1] == "| 10,000,000,000 | duckdb | 10.0 | 5.00 |"
