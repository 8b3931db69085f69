"""The club's week: are this week's logs in, and sound?"""

from datetime import date
from typing import Any

import polars as pl
import streamlit as st

from dashboard import questions
from dashboard.charts_club import BALLS, LOGS, REFUSED, by_week, in_words
from dashboard.frame import nothing_yet, page
from dashboard.phrases import verbatim
from dashboard.questions import Desk
from dashboard.refused_lines import refused_files
from dashboard.views.refusals import offer_file_to_mend, show_refused


def body(desk: Desk) -> None:
    """The number that decides, then why, then the figures of the week and of the weeks before."""
    weeks = questions.club_weeks(desk)
    if weeks.is_empty():
        nothing_yet("No logs yet.", "The screens fill as soon as the first log of a session is in.")
        return
    week = st.selectbox("Week", weeks["week"].to_list(), format_func=week_in_words, width=420)
    tell_if_behind(weeks["week"][0])
    row = weeks.row(by_predicate=pl.col("week") == week, named=True)
    meaning = questions.meaning(desk, "report.club_week")
    show_verdict(row, meaning)
    show_without_log(desk, row)
    show_refused_lines(desk, row)
    show_figures(row, meaning)
    show_weeks(weeks, week)


def week_in_words(week: date) -> str:
    """A week as people name it."""
    return f"Week {week:%V}, from Monday {week.day} {week:%B %Y}"


def tell_if_behind(latest: date) -> None:
    """Say plainly that the week we are in has no log, where the latest week of the log is an earlier one."""
    today = date.today()  # noqa: DTZ011 - the club's own day, as on its wall
    if today.isocalendar()[:2] > latest.isocalendar()[:2]:
        st.info(
            f"Today is in week {today:%V}, of which no log is in yet. The latest week with a log is week {latest:%V}.",
            icon=":material/event_upcoming:",
        )


def show_verdict(row: dict[str, Any], meaning: dict[str, str]) -> None:
    """The two numbers that decide, and what they come to."""
    with st.container(horizontal=True):
        st.metric(
            "Players whose log is in",
            f"{row['players_with_log']} of {row['players_active']}",
            help=f"{meaning['players_with_log']}; {meaning['players_active']}",
            border=True,
            width=260,
        )
        st.metric("Lines still refused", row["lines_refused"], help=meaning["lines_refused"], border=True, width=260)
    if row["players_with_log"] == row["players_active"] and not row["lines_refused"]:
        st.success(
            "The week is in, and sound: every active player has a log, and no line is refused.",
            icon=":material/check_circle:",
        )


def show_without_log(desk: Desk, row: dict[str, Any]) -> None:
    """Who is missing, and since when."""
    missing = questions.without_log(desk, row["week"])
    if missing.is_empty():
        return
    st.subheader("No log this week")
    st.dataframe(
        missing,
        column_config={
            "name": "Player",
            "group_name": "Group",
            "last_logged_on": st.column_config.DateColumn("Last log before", format="D MMM YYYY"),
        },
        placeholder="none",
        hide_index=True,
        width="content",
        alt=f"Active players without a log in the week from {row['week']}, each with the day of the last log before it",
    )
    st.caption("Ill, away, or a sheet that never reached you? A week without a log is not a week without training.")


def show_refused_lines(desk: Desk, row: dict[str, Any]) -> None:
    """The lines that wait to be mended, file by file, each with its file to mend."""
    st.subheader("Lines still refused")
    files = refused_files(questions.refused_in_week(desk, row["week"]))
    if not files:
        st.markdown(":material/check: All lines of this week are in order.")
        return
    st.write(
        "Take the file to mend, correct its lines (the last column of each says why it was refused), and bring it in "
        "again: the corrected lines then take their places."
    )
    for file in files:
        with st.expander(
            f"{verbatim(file.file_name)}: lines {', '.join(str(line.line) for line in file.lines)}", expanded=True
        ):
            show_refused(file.lines, with_cells=False)
            offer_file_to_mend(file)


def show_figures(row: dict[str, Any], meaning: dict[str, str]) -> None:
    """What was trained in the week."""
    st.subheader("The week in figures")
    minutes = "not noted" if row["minutes"] is None else f"{row['minutes']:,.0f}"
    short = f"{row['players_short_of_variety']} of {row['players_active']}"
    with st.grid(min_column_width=150):
        st.metric("Sessions", row["sessions"], help=meaning["sessions"])
        st.metric("Balls", f"{row['balls']:,}", help=meaning["balls"])
        st.metric("Minutes", minutes, help=meaning["minutes"])
        st.metric("Short of variety", short, help=meaning["players_short_of_variety"])


def show_weeks(weeks: pl.DataFrame, week: date) -> None:
    """The same figures over the weeks, as charts and as a table."""
    st.subheader("Week by week")
    with st.grid(min_column_width=240):
        for measure in (LOGS, REFUSED, BALLS):
            st.altair_chart(by_week(weeks, week, measure), alt=in_words(weeks, week, measure))
    with st.expander("The weeks as a table"):
        st.dataframe(weeks.drop("club_id"), hide_index=True, alt="The club's weeks, the latest first")


page("The club's week", "Are this week's logs in, and sound?", body)
