"""Charts of the club's weeks."""

from collections.abc import Sequence
from datetime import date
from functools import lru_cache

import altair as alt
import polars as pl

from dashboard.rows.building import frame_of
from dashboard.rows.club import ClubWeekRow

HEIGHT_PX = 200

BESIDE_OPACITY = 0.75
"""Of the bars beside the chosen one: paler, and still 3 to 1 against the page, as WCAG 2.2 asks of graphics."""


@lru_cache(maxsize=64)
def by_week_as_json(weeks: tuple[ClubWeekRow, ...], chosen: date, measure: tuple[str, str]) -> str:
    """The chart of `by_week` as it is sent, its rows with it: to make one takes longer than the rest of its page."""
    made: str = by_week(weeks, chosen, measure).to_json()
    return made


def by_week(weeks: Sequence[ClubWeekRow], chosen: date, measure: tuple[str, str]) -> alt.LayerChart:
    """One measure of report.club_week as a bar for each week; the chosen week is darker and carries its number."""
    column, title = measure
    # Weeks go as words: a browser would show a date in its own zone, which may be the day before.
    named = frame_of(weeks, ClubWeekRow).select(
        pl.col("week").dt.strftime("%G-W%V").alias("iso_week"),
        pl.col("week").dt.strftime("%-d %B %Y").alias("monday"),
        (pl.col("week") == chosen).alias("is_chosen"),
        column,
    )
    base = alt.Chart(named, height=HEIGHT_PX).encode(
        x=alt.X("iso_week:N", title="Week of the year", axis=alt.Axis(labelExpr="slice(datum.value, 5)", labelAngle=0)),
        y=alt.Y(f"{column}:Q", title=title, axis=alt.Axis(tickMinStep=1, format=",d", tickCount=4)),
        tooltip=[
            alt.Tooltip("monday:N", title="Week from Monday"),
            alt.Tooltip(f"{column}:Q", title=title, format=",d"),
        ],
    )
    bars = base.mark_bar().encode(opacity=alt.condition("datum.is_chosen", alt.value(1.0), alt.value(BESIDE_OPACITY)))
    # A field takes the first colour of the palette, in light and in dark; without one the number would stay black.
    # It stands above the bars, where no taller neighbour can hide it.
    number = (
        base.transform_filter("datum.is_chosen")
        .mark_text(dy=-8, fontWeight="bold")
        .encode(y=alt.value(0), text=alt.Text(f"{column}:Q", format=",d"), color=alt.Color("is_chosen:N", legend=None))
    )
    return alt.LayerChart(layer=[bars, number])
