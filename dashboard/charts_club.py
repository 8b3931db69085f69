"""Charts of the club's weeks."""

from datetime import date

import altair as alt
import polars as pl

HEIGHT_PX = 200


def balls_by_week(weeks: pl.DataFrame, chosen: date) -> alt.LayerChart:
    """Balls fed in each week as bars; the chosen week is darker and carries its number."""
    return _bars(weeks, chosen, "balls", "Balls fed")


def logs_by_week(weeks: pl.DataFrame, chosen: date) -> alt.LayerChart:
    """Players with a log in each week as bars, under a tick for the players who train at present."""
    active = (
        alt.Chart(weeks)
        .mark_tick(thickness=2, color="gray", orient="horizontal")
        .encode(x=_week_axis(), y=alt.Y("players_active:Q"), tooltip=_tooltips("players_active", "Active players"))
    )
    return _bars(weeks, chosen, "players_with_log", "Players with a log") + active


def refused_by_week(weeks: pl.DataFrame, chosen: date) -> alt.LayerChart:
    """Refused lines of each week that nobody has mended yet."""
    return _bars(weeks, chosen, "lines_refused", "Lines still refused")


def _bars(weeks: pl.DataFrame, chosen: date, column: str, title: str) -> alt.LayerChart:
    bars = (
        alt.Chart(weeks, height=HEIGHT_PX)
        .mark_bar()
        .encode(
            x=_week_axis(),
            y=alt.Y(f"{column}:Q", title=title, axis=alt.Axis(tickMinStep=1, format=",d", tickCount=4)),
            opacity=alt.condition(_is_chosen(chosen), alt.value(1.0), alt.value(0.6)),
            tooltip=_tooltips(column, title),
        )
    )
    # The number is written in the page's own text colour, which no one theme of a chart knows for both modes.
    number = (
        alt.Chart(weeks.filter(pl.col("week") == chosen))
        .mark_text(dy=-8, fontWeight="bold")
        .encode(x=_week_axis(), y=alt.Y(f"{column}:Q"), text=alt.Text(f"{column}:Q", format=",d"))
    )
    return alt.layer(bars, number)


def _week_axis() -> alt.X:
    return alt.X("yearmonthdate(week):O", title="Week from Monday", axis=alt.Axis(format="%-d %b", labelOverlap=True))


def _tooltips(column: str, title: str) -> list[alt.Tooltip]:
    week = alt.Tooltip("week:T", title="Week from", format="%-d %B %Y")
    return [week, alt.Tooltip(f"{column}:Q", title=title, format=",d")]


def _is_chosen(chosen: date) -> alt.Predicate:
    return alt.FieldEqualPredicate(
        field="week",
        equal=alt.DateTime(year=chosen.year, month=chosen.month, date=chosen.day),
        timeUnit="yearmonthdate",
    )
