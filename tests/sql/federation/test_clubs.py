"""What a body is told of clubs: counts and ranges, and nothing of a group so small that it tells of a child."""

from datetime import date
from pathlib import Path

import polars as pl
import pytest

from models.mean_range import range_of_mean
from sql.federation.building import build_federation
from sql.federation.clubs import NothingBuilt, age_group, age_rows, clubs_table
from sql.federation.one_club import club_values, club_weeks


def players(*groups: tuple[int | None, int, float | None]) -> pl.DataFrame:
    """So many players of each birth year, with what they cover."""
    rows = [
        {"birth_year": born, "year": 2026, "has_log": coverage is not None, "coverage": coverage}
        for born, count, coverage in groups
        for _ in range(count)
    ]
    schema = {"birth_year": pl.Int64, "year": pl.Int64, "has_log": pl.Boolean, "coverage": pl.Float64}
    return pl.DataFrame(rows, schema=schema)


@pytest.mark.parametrize(
    ("groups", "told"),
    [
        ([], []),
        ([(2012, 9, 0.5)], []),
        ([(2012, 10, 0.5)], [("under 15", 10)]),
        ([(2012, 7, 0.5), (1990, 7, 0.5)], [("all ages", 14)]),
        ([(2012, 10, 0.5), (2008, 9, 0.5)], [("under 15", 10)]),
        ([(2012, 10, 0.5), (2008, 5, 0.5), (1990, 5, None)], [("under 15", 10), ("other ages", 10)]),
        ([(None, 12, 0.5), (1960, 10, 0.5)], [("40 and over", 10), ("age not noted", 12)]),
    ],
)
def test_a_small_group_is_told_with_others_or_not_at_all(
    groups: list[tuple[int | None, int, float | None]], told: list[tuple[str, int]]
) -> None:
    assert [(row["age_group"], row["players"]) for row in age_rows(players(*groups), 10)] == told


def test_a_mean_comes_with_its_range_and_its_counts() -> None:
    (row,) = age_rows(players((2012, 6, 0.2), (2012, 4, 0.6), (2012, 3, None)), 10)

    found = range_of_mean(0.36, pl.Series([0.2] * 6 + [0.6] * 4).std(), 10)  # type: ignore[arg-type]
    assert (row["players"], row["players_with_log"], row["players_judged"]) == (13, 10, 10)
    assert row["coverage"] == pytest.approx(found.value)
    assert (row["coverage_low"], row["coverage_high"]) == pytest.approx((found.low, found.high))


def test_with_few_players_who_can_be_judged_no_mean_is_told() -> None:
    (row,) = age_rows(players((2012, 2, None), (2012, 9, 0.6)), 10)

    assert "coverage" not in row


@pytest.mark.parametrize(
    ("born", "name"),
    [(2012, "under 15"), (2011, "under 19"), (2007, "19 to 39"), (1986, "40 and over"), (None, "age not noted")],
)
def test_ages_are_counted_by_the_year(born: int | None, name: str) -> None:
    assert age_group(born, 2026) == name


def test_a_club_that_is_too_small_is_named_without_figures(lake: Path, tmp_path: Path) -> None:
    build_federation("duckdb", lake, tmp_path / "out", processes=1)

    rows = clubs_table(tmp_path / "out").select("club_id", "age_group", "players", "coverage").rows()
    assert rows == [("neighbour", None, None, None), ("tiny", None, None, None)]

    neighbour, tiny = clubs_table(tmp_path / "out", least_players=1).to_dicts()
    assert (neighbour["age_group"], neighbour["players"], neighbour["players_judged"]) == ("19 to 39", 1, 0)
    assert (tiny["age_group"], tiny["players"], tiny["players_with_log"], tiny["players_judged"]) == (
        "age not noted",
        2,
        2,
        2,
    )
    assert str(tiny["last_logged_on"]) == "2026-03-10"


def test_one_club_is_told_by_its_weeks_and_the_words_of_its_balls(lake: Path, tmp_path: Path) -> None:
    """On a real build: of few nothing, of enough what their own tables say."""
    build_federation("duckdb", lake, tmp_path / "out", processes=1)

    assert club_weeks(tmp_path / "out", "neighbour", 10).is_empty()
    assert club_values(tmp_path / "out", "neighbour", 10).is_empty()
    (week,) = club_weeks(tmp_path / "out", "neighbour", 1).rows()
    assert week == (date(2026, 6, 29), 1, 0, None, None, None)
    spins = club_values(tmp_path / "out", "neighbour", 1).filter(pl.col("dimension") == "spin")
    assert spins.rows() == [("spin", "backspin", 1, 0.4), ("spin", "topspin", 1, 0.6)]


def test_where_nothing_is_built_that_is_told(tmp_path: Path) -> None:
    with pytest.raises(NothingBuilt, match="halflong federation build"):
        clubs_table(tmp_path)
