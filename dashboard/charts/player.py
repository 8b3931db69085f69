"""Charts of one player: success with its range, weeks, load. Frame in, chart out."""

from collections.abc import Sequence
from typing import TypeVar

import altair as alt
import polars as pl

from dashboard.rows.building import frame_of
from dashboard.rows.judged import TrendRow
from dashboard.rows.player import SessionRow, SuccessRow, WeekRow, WindowRow
from dashboard.words.weeks import NO_LOG, NO_MINUTES, how_noted

R = TypeVar("R")

BLUE = "#0072B2"
VERMILLION = "#D55E00"
"""Two of Okabe and Ito's colours (Color Universal Design, 2008) that keep 3 to 1 on a light page and on a dark one."""

ROW_PX = 34
WEEKS_PX = 220
BARS_PX = 120
BAR_PX = 6
AXIS_PX = 48
"""The same room for the labels of every chart over the weeks, so that their weeks stand under each other."""

_SHARE = alt.Scale(domain=[0, 1])


def success_by_value(values: Sequence[SuccessRow], labels: Sequence[str]) -> alt.LayerChart:
    """Success of each value as a point on its range; order is kept."""
    # The domain is named: a value without a rate is not drawn, and would lose its line.
    lines = alt.Scale(domain=list(labels))
    base = alt.Chart(_labelled(values, SuccessRow, labels), height=ROW_PX * max(len(labels), 1)).encode(
        y=alt.Y(
            "label:N", sort=None, title=None, scale=lines, axis=alt.Axis(labelLimit=190, ticks=False, domain=False)
        ),
        tooltip=_success_tooltips("label"),
    )
    axis = alt.Axis(format=".0%", tickCount=5)
    ranges = base.mark_rule(strokeWidth=2, color=BLUE).encode(
        x=alt.X("low:Q", scale=_SHARE, axis=axis, title="Landed where the drill asked"), x2="high:Q"
    )
    points = base.mark_point(filled=True, size=90, color=BLUE, opacity=1).encode(x=alt.X("rate:Q", scale=_SHARE))
    return alt.LayerChart(layer=[ranges, points])


def change_by_value(values: Sequence[TrendRow], labels: Sequence[str]) -> alt.LayerChart:
    """The change of success of each value as a point on its range, beside the line of no change.

    Order is kept, and too few balls leave an empty line.
    """
    lines = alt.Scale(domain=list(labels))
    base = alt.Chart(_labelled(values, TrendRow, labels), height=ROW_PX * max(len(labels), 1)).encode(
        y=alt.Y(
            "label:N", sort=None, title=None, scale=lines, axis=alt.Axis(labelLimit=190, ticks=False, domain=False)
        ),
        tooltip=_change_tooltips(),
    )
    axis = alt.Axis(labelExpr="datum.value ? format(datum.value, '+.0%') : 'no change'", tickCount=5)
    ranges = base.mark_rule(strokeWidth=2, color=BLUE).encode(
        x=alt.X("change_low:Q", axis=axis, title="Change of success"), x2="change_high:Q"
    )
    points = base.mark_point(filled=True, size=90, color=BLUE, opacity=1).encode(x="change:Q")
    none = alt.Chart().mark_rule(strokeDash=[4, 3], color=VERMILLION).encode(x=alt.datum(0))
    return alt.LayerChart(layer=[none, ranges, points])


def success_over_weeks(windows: Sequence[WindowRow], sessions: Sequence[SessionRow], verdict: str) -> alt.LayerChart:
    """Success over the window that ends with each week: line and range; single sessions as open circles.

    A window without enough balls leaves a gap. `verdict` is what the sessions together say, and stands above.
    """
    weeks = frame_of(windows, WindowRow)
    window = alt.Chart(weeks, height=WEEKS_PX).encode(x=_weeks_axis("week", weeks, labels=False))
    band = window.mark_area(opacity=0.25, color=BLUE).encode(y=_rate_axis("low"), y2="high:Q")
    line = window.mark_line(color=BLUE, strokeWidth=2.5, invalid="break-paths-show-domains").encode(
        y=_rate_axis("rate"),
        tooltip=[_day("week", "Window ends with the week of"), _share("rate"), _count("balls", "Balls in it")],
    )
    single = (
        alt.Chart(frame_of(sessions, SessionRow))
        .mark_point(color=VERMILLION, filled=False, size=36, opacity=0.9)
        .encode(
            x=_weeks_axis("session_date", weeks, labels=False),
            y=_rate_axis("rate"),
            tooltip=[_day("session_date", "Session"), _share("rate"), _count("balls", "Balls")],
        )
    )
    return alt.LayerChart(layer=[band, single, line], title=alt.Title(verdict, anchor="start", fontWeight="normal"))


def balls_by_week(weeks: Sequence[WeekRow]) -> alt.LayerChart:
    """Balls of each week as bars; a week without a log carries a cross on the axis."""
    return _bars(weeks, "balls", "Balls", missing=(NO_LOG,))


def minutes_by_week(weeks: Sequence[WeekRow]) -> alt.LayerChart:
    """Minutes of each week as bars; a week without a log, or whose minutes nobody noted, carries a cross."""
    return _bars(weeks, "minutes", "Minutes", missing=(NO_LOG, NO_MINUTES))


def _bars(rows: Sequence[WeekRow], column: str, title: str, *, missing: tuple[str, ...]) -> alt.LayerChart:
    weeks = frame_of(rows, WeekRow).with_columns(noted=pl.Series(map(how_noted, rows), dtype=pl.String))
    base = alt.Chart(weeks, height=BARS_PX).encode(x=_weeks_axis("week", weeks, labels=True))
    y_axis = alt.Axis(tickCount=3, tickMinStep=1, format=",d", minExtent=AXIS_PX, maxExtent=AXIS_PX)
    bars = base.mark_bar(color=BLUE, size=BAR_PX).encode(
        y=alt.Y(f"{column}:Q", title=title, axis=y_axis),
        tooltip=[_day("week", "Week from"), _count(column, title), alt.Tooltip("noted:N", title="Log")],
    )
    crosses = (
        base.transform_filter(alt.FieldOneOfPredicate(field="noted", oneOf=list(missing)))
        .mark_point(shape="cross", angle=45, size=60, filled=True, color=VERMILLION, opacity=1, yOffset=-6)
        .encode(
            y=alt.datum(0),
            tooltip=[_day("week", "Week from"), alt.Tooltip("noted:N", title="Log")],
        )
    )
    return alt.LayerChart(layer=[bars, crosses])


def _labelled(values: Sequence[R], of: type[R], labels: Sequence[str]) -> pl.DataFrame:
    return frame_of(values, of).with_columns(label=pl.Series(labels, dtype=pl.String))


def _weeks_axis(column: str, weeks: pl.DataFrame, *, labels: bool) -> alt.X:
    first, last = weeks["week"].min(), weeks["week"].max()
    axis = alt.Axis(format="%-d %b", labelOverlap=True, labels=labels, ticks=labels, tickCount="month", grid=True)
    return alt.X(
        f"{column}:T", title=None, axis=axis, scale=alt.Scale(domain=[_instant(first), _instant(last)], padding=14)
    )


def _instant(day: object) -> alt.DateTime:
    year, month, date = (int(part) for part in str(day).split("-"))
    return alt.DateTime(year=year, month=month, date=date)


def _rate_axis(column: str) -> alt.Y:
    axis = alt.Axis(format=".0%", tickCount=5, minExtent=AXIS_PX, maxExtent=AXIS_PX)
    return alt.Y(f"{column}:Q", scale=_SHARE, axis=axis, title="Landed")


def _success_tooltips(name: str) -> list[alt.Tooltip]:
    ends = [_share("low", "Range from"), _share("high", "to")]
    return [
        alt.Tooltip(f"{name}:N", title="Balls"),
        _share("rate"),
        *ends,
        _count("good", "Good"),
        _count("balls", "of"),
    ]


def _change_tooltips() -> list[alt.Tooltip]:
    parts = {"change": "Change", "change_low": "Range from", "change_high": "to"}
    return [
        alt.Tooltip("label:N", title="Balls"),
        *(alt.Tooltip(f"{column}:Q", title=title, format="+.0%") for column, title in parts.items()),
        _count("sessions", "Sessions"),
        _count("balls", "Balls"),
    ]


def _share(column: str, title: str = "Landed") -> alt.Tooltip:
    return alt.Tooltip(f"{column}:Q", title=title, format=".0%")


def _count(column: str, title: str) -> alt.Tooltip:
    return alt.Tooltip(f"{column}:Q", title=title, format=",d")


def _day(column: str, title: str) -> alt.Tooltip:
    return alt.Tooltip(f"{column}:T", title=title, format="%-d %B %Y")
