"""The club's week: are this week's logs in, and sound?"""

from collections.abc import Sequence
from datetime import date

import streamlit as st

from dashboard import questions
from dashboard.charts.club import by_week
from dashboard.paper.addresses import club_week_path
from dashboard.questions import Desk
from dashboard.rows.building import frame_of
from dashboard.rows.club import ClubWeekRow, WithoutLogRow
from dashboard.tables.refused_lines import refused_files
from dashboard.views.frame import nothing_yet, page
from dashboard.views.on_paper import offer_paper
from dashboard.views.refusals import offer_file_to_mend, show_refused
from dashboard.words import club as wording_club
from dashboard.words.club import MEASURES, in_words, week_in_words
from dashboard.words.phrases import verbatim
from ingest.club_day import today


def body(desk: Desk) -> None:
    """The number that decides, then why, then the figures of the week and of the weeks before."""
    weeks = questions.club_weeks(desk)
    if not weeks:
        nothing_yet("No logs yet.", "The screens fill as soon as the first log of a session is in.")
        return
    week = st.selectbox("Week", [row.week for row in weeks], format_func=week_in_words, width=420)
    tell_if_behind(weeks[0].week)
    row = next(row for row in weeks if row.week == week)
    meaning = questions.meaning(desk, "report.club_week")
    show_verdict(row, meaning)
    show_without_log(desk, row)
    show_refused_lines(desk, row)
    show_figures(row, meaning)
    show_weeks(weeks, week)
    offer_paper("This week as a page to print (PDF)", club_week_path(week))


def tell_if_behind(latest: date) -> None:
    """Say plainly that the week we are in has no log, where the latest week of the log is an earlier one."""
    day = today()
    if day.isocalendar()[:2] > latest.isocalendar()[:2]:
        st.info(
            f"Today is in week {day:%V}, of which no log is in yet. The latest week with a log is week {latest:%V}.",
            icon=":material/event_upcoming:",
        )


def show_verdict(row: ClubWeekRow, meaning: dict[str, str]) -> None:
    """The two numbers that decide, and what they come to."""
    with st.container(horizontal=True):
        for title, value, columns in wording_club.deciding(row):
            about = "; ".join(meaning[column] for column in columns)
            st.metric(title, value, help=about, border=True, width=260)
    if wording_club.is_sound(row):
        st.success(wording_club.SOUND, icon=":material/check_circle:")


def show_without_log(desk: Desk, row: ClubWeekRow) -> None:
    """Who is missing, and since when."""
    missing = questions.without_log(desk, row.week)
    if not missing:
        return
    st.header("No log this week")
    st.dataframe(
        frame_of(missing, WithoutLogRow),
        column_config={
            "name": "Player",
            "group_name": "Group",
            "last_logged_on": st.column_config.DateColumn("Last log before", format="D MMM YYYY"),
        },
        placeholder="none",
        hide_index=True,
        width="content",
        alt=f"Active players without a log in the week from {row.week}, each with the day of the last log before it",
    )
    st.caption(wording_club.MISSING_IS_NOT_REST)


def show_refused_lines(desk: Desk, row: ClubWeekRow) -> None:
    """The lines that wait to be mended, file by file, each with its file to mend."""
    st.header("Lines still refused")
    files = refused_files(questions.refused_in_week(desk, row.week))
    if not files:
        st.markdown(f":material/check: {wording_club.NOTHING_REFUSED}")
        return
    st.write(wording_club.TO_MEND)
    for file in files:
        with st.expander(
            f"{verbatim(file.file_name)}: {wording_club.lines_named(line.line for line in file.lines)}", expanded=True
        ):
            show_refused(file.lines, with_cells=False)
            offer_file_to_mend(file)


def show_figures(row: ClubWeekRow, meaning: dict[str, str]) -> None:
    """What was trained in the week."""
    st.header("The week in figures")
    with st.grid(min_column_width=150):
        for title, value, columns in wording_club.in_figures(row):
            st.metric(title, value, help="; ".join(meaning[column] for column in columns))


def show_weeks(weeks: Sequence[ClubWeekRow], week: date) -> None:
    """The same figures over the weeks, as charts and as a table."""
    st.header("Week by week")
    with st.grid(min_column_width=240):
        for measure in MEASURES:
            st.altair_chart(by_week(weeks, week, measure), alt=in_words(weeks, week, measure))
    with st.expander("The weeks as a table"):
        st.dataframe(frame_of(weeks, ClubWeekRow), hide_index=True, alt="The club's weeks, the latest first")


page("The club's week", "Are this week's logs in, and sound?", body)
