"""One player's charts: what stands where, and that gaps stay gaps. Every chart is held to the Vega-Lite schema."""

from datetime import date
from typing import Any

import pytest

from dashboard.charts import player as charts_player
from dashboard.rows.judged import TrendRow
from dashboard.rows.player import SessionRow, SuccessRow, WeekRow, WindowRow
from tests.dashboard.contrast import contrast
from tests.dashboard.some import some

MONDAYS = (date(2026, 11, 2), date(2026, 11, 9), date(2026, 11, 16))
WEEKS = (
    some(WeekRow, week=MONDAYS[0], sessions=1, balls=300, minutes=40.0),
    some(WeekRow, week=MONDAYS[1]),
    some(WeekRow, week=MONDAYS[2], sessions=1, balls=240),
)
WINDOWS = (
    WindowRow(MONDAYS[0], 300, 0.5, 0.4, 0.6),
    WindowRow(MONDAYS[1], None, None, None, None),
    WindowRow(MONDAYS[2], 540, 0.7, 0.6, 0.8),
)
SESSIONS = (some(SessionRow, session_date=date(2026, 11, 4), rate=0.5, balls=300),)
VALUES = (
    some(SuccessRow, balls=40, good=30, rate=0.75, low=0.6, high=0.86),
    some(SuccessRow, balls=9, good=4),
)
LABELS = ("topspin · 30 of 40", "backspin · 9, not enough yet")
CHANGES = (
    some(TrendRow, sessions=12, balls=400, change=0.2, change_low=0.1, change_high=0.3),
    some(TrendRow, sessions=1, balls=9),
)
CHANGE_LABELS = ("topspin · rising", "backspin · not enough balls yet")


def layers(chart: Any) -> list[dict[str, Any]]:
    """The layers of a chart that the schema accepts."""
    found: list[dict[str, Any]] = chart.to_dict(validate=True)["layer"]
    return found


def layer_of(chart: Any, mark: str) -> dict[str, Any]:
    """The one layer drawn with a mark."""
    (layer,) = [layer for layer in layers(chart) if layer["mark"]["type"] == mark]
    return layer


def test_success_is_a_point_on_its_range_over_the_whole_scale():
    chart = charts_player.success_by_value(VALUES, LABELS)
    point, span = layer_of(chart, "point")["encoding"], layer_of(chart, "rule")["encoding"]

    assert (point["x"]["field"], span["x"]["field"], span["x2"]["field"]) == ("rate", "low", "high")
    assert span["x"]["scale"]["domain"] == [0, 1]


def test_values_keep_their_order_and_their_line_even_without_a_rate():
    y = layer_of(charts_player.success_by_value(VALUES, LABELS), "point")["encoding"]["y"]

    assert y["scale"]["domain"] == ["topspin · 30 of 40", "backspin · 9, not enough yet"]
    assert y["sort"] is None


def test_a_change_is_a_point_on_its_range_beside_a_dashed_line_of_no_change():
    chart = charts_player.change_by_value(CHANGES, CHANGE_LABELS)
    point = layer_of(chart, "point")["encoding"]
    none, span = [layer for layer in layers(chart) if layer["mark"]["type"] == "rule"]

    assert none["mark"]["strokeDash"] == [4, 3]
    assert none["encoding"]["x"] == {"datum": 0}
    assert point["x"]["field"] == "change"
    assert (span["encoding"]["x"]["field"], span["encoding"]["x2"]["field"]) == ("change_low", "change_high")


def test_a_value_without_a_verdict_keeps_its_line_among_the_changes():
    y = layer_of(charts_player.change_by_value(CHANGES, CHANGE_LABELS), "point")["encoding"]["y"]

    assert y["scale"]["domain"] == ["topspin · rising", "backspin · not enough balls yet"]


@pytest.mark.parametrize(
    "chart", [charts_player.success_by_value(VALUES, LABELS), charts_player.change_by_value(CHANGES, CHANGE_LABELS)]
)
def test_a_range_is_drawn_in_a_full_colour(chart: Any):
    """A range is a figure like the point on it: paled, it would not reach the 3 to 1 of WCAG 2.2, 1.4.11."""
    ranges = [layer["mark"] for layer in layers(chart) if layer["mark"]["type"] == "rule"]

    assert all(mark.get("opacity", 1) == 1 for mark in ranges)


def test_the_sessions_stand_under_what_they_say_together():
    chart = charts_player.success_over_weeks(WINDOWS, SESSIONS, "All sessions together: rising")

    assert chart.to_dict(validate=True)["title"]["text"] == "All sessions together: rising"


def test_a_window_without_enough_balls_breaks_the_line():
    """Vega-Lite's documentation, "Invalid data": break-paths-show-domains leaves a gap where a value is missing."""
    line = layer_of(charts_player.success_over_weeks(WINDOWS, SESSIONS, "rising"), "line")

    assert line["mark"]["invalid"] == "break-paths-show-domains"


def test_single_sessions_differ_from_the_line_by_shape_and_not_only_by_colour():
    points = layer_of(charts_player.success_over_weeks(WINDOWS, SESSIONS, "rising"), "point")

    assert points["mark"]["filled"] is False


@pytest.mark.parametrize(
    ("chart", "marked"),
    [
        (charts_player.balls_by_week, ["no log"]),
        (charts_player.minutes_by_week, ["no log", "minutes not noted"]),
    ],
    ids=["balls", "minutes"],
)
def test_a_week_that_is_missing_carries_a_cross_instead_of_a_bar(chart: Any, marked: list[str]):
    crosses = layer_of(chart(WEEKS), "point")

    assert crosses["mark"]["shape"] == "cross"
    assert crosses["transform"] == [{"filter": {"field": "noted", "oneOf": marked}}]


def test_the_charts_over_the_weeks_share_their_axis():
    success = layer_of(charts_player.success_over_weeks(WINDOWS, SESSIONS, "rising"), "line")["encoding"]["x"]["scale"]
    balls = layer_of(charts_player.balls_by_week(WEEKS), "bar")["encoding"]["x"]["scale"]

    assert success == balls
    assert balls["domain"] == [{"year": 2026, "month": 11, "date": 2}, {"year": 2026, "month": 11, "date": 16}]


@pytest.mark.parametrize("page", ["#FFFFFF", "#171614"], ids=["light", "dark"])
@pytest.mark.parametrize("colour", [charts_player.BLUE, charts_player.VERMILLION])
def test_marks_stand_out_on_the_page(colour: str, page: str):
    """WCAG 2.2, success criterion 1.4.11: graphical objects have a contrast of at least 3 to 1."""
    assert contrast(colour, page) >= 3
