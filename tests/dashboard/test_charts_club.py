"""The charts of the club's weeks, by the specification that a browser would get."""

from datetime import date
from typing import Any

import pytest

from dashboard.charts.club import BESIDE_OPACITY, by_week
from dashboard.rows.club import ClubWeekRow
from dashboard.words.club import BALLS, LOGS, REFUSED, in_words
from tests.dashboard.contrast import contrast
from tests.dashboard.some import some

WEEKS = (
    some(ClubWeekRow, week=date(2026, 1, 5), players_with_log=18, balls=5200, lines_refused=3),
    some(ClubWeekRow, week=date(2025, 12, 29), players_with_log=4, balls=900),
    some(ClubWeekRow, week=date(2025, 12, 22), players_with_log=20, balls=6100),
)


def spec(chosen: date, measure: tuple[str, str]) -> dict[str, Any]:
    found: dict[str, Any] = by_week(WEEKS, chosen, measure).to_dict()
    return found


def bars(chosen: date, measure: tuple[str, str] = BALLS) -> list[dict[str, Any]]:
    (rows,) = spec(chosen, measure)["datasets"].values()
    return list(rows)


def test_weeks_are_named_as_iso_8601_counts_them_over_the_turn_of_the_year():
    """The week of Monday 29 December 2025 is week 1 of 2026 (ISO 8601)."""
    assert [row["iso_week"] for row in bars(date(2026, 1, 5))] == ["2026-W02", "2026-W01", "2025-W52"]


def test_only_the_chosen_week_stands_out_and_carries_its_number():
    assert [row["is_chosen"] for row in bars(date(2025, 12, 29))] == [False, True, False]

    _, number = spec(date(2025, 12, 29), BALLS)["layer"]
    assert number["transform"] == [{"filter": "datum.is_chosen"}]
    assert number["encoding"]["text"]["field"] == "balls"


@pytest.mark.parametrize("measure", [LOGS, BALLS, REFUSED])
def test_a_chart_shows_its_measure_under_its_name_from_zero_on(measure: tuple[str, str]):
    bar, _ = spec(date(2026, 1, 5), measure)["layer"]

    assert bar["mark"]["type"] == "bar"
    assert (bar["encoding"]["y"]["field"], bar["encoding"]["y"]["title"]) == measure
    assert "scale" not in bar["encoding"]["y"]


@pytest.mark.parametrize(("bar", "page"), [("#0068C9", "#FFFFFF"), ("#83C9FF", "#0E1117")])
def test_bars_beside_the_chosen_one_keep_three_to_one_against_the_page(bar: str, page: str):
    """3:1 is what WCAG 2.2 (1.4.11) asks of graphics; the colours are Streamlit's first of a light and a dark chart."""
    mixed = "#" + "".join(
        f"{round(BESIDE_OPACITY * int(bar[i : i + 2], 16) + (1 - BESIDE_OPACITY) * int(page[i : i + 2], 16)):02X}"
        for i in (1, 3, 5)
    )

    assert contrast(mixed, page) >= 3


def test_the_words_for_the_chart_name_its_weeks_and_the_chosen_number():
    assert (
        in_words(WEEKS, date(2026, 1, 5), LOGS)
        == "Bars, one for each week from 2025-12-22 to 2026-01-05: players with a log. In the week from 2026-01-05: 18."
    )
