"""The club's week: are this week's logs in, and sound?"""

import json
from collections.abc import Sequence
from datetime import date

import streamlit as st

from dashboard import questions
from dashboard.charts.club import by_week_as_json
from dashboard.drawings.markup import Markup, element
from dashboard.drawings.sparks import bars
from dashboard.paper.addresses import club_week_path
from dashboard.questions import Desk
from dashboard.rows.building import frame_of
from dashboard.rows.club import ClubWeekRow, RefusedRow, WithoutLogRow
from dashboard.services.attendance import here_in_week
from dashboard.tables.refused_lines import refused_files
from dashboard.tables.week import attendance_table, missing_table, picture_of
from dashboard.views.correct_here import show_to_correct, tell_brought_in
from dashboard.views.drawn import show
from dashboard.views.frame import nothing_yet, page
from dashboard.views.on_paper import offer_paper
from dashboard.views.own_word import tell_own_in_week
from dashboard.views.page_choices import what_is_this
from dashboard.words import club as wording_club
from dashboard.words import figures, reminders
from dashboard.words.club import MEASURES, Figure, in_words, week_in_words
from dashboard.words.phrases import verbatim
from ingest.club_day import today

WEEK = "week"
SPARK_WEEKS = 8
REFUSED = "refused"
"""Where on the page the refused lines begin."""


def body(desk: Desk) -> None:
    """The figures that decide, who trained when, what is to be done, and the weeks before."""
    weeks = questions.club_weeks(desk)
    if not weeks:
        nothing_yet("No logs yet.", "The screens fill as soon as the first log of a session is in.")
        return
    week = chosen_week([row.week for row in weeks])
    tell_if_behind(weeks[0].week)
    tell_brought_in(desk)
    row = next(row for row in weeks if row.week == week)
    missing, refused = questions.without_log(desk, week), questions.refused_in_week(desk, week)
    show_figures(weeks, row, missing)
    tell_own_in_week(desk, week)
    show_picture(desk, week)
    show_groups(desk, week, missing)
    show_without_log(missing)
    show_attendance(desk, week)
    show_refused_lines(desk, refused)
    show_weeks(weeks, week)
    what_is_this(desk, figures.CLUB_WEEK, figures.GROUP_DAYS, figures.GROUP_COACHES)
    offer_paper("This week as a page to print (PDF)", club_week_path(week))


def chosen_week(weeks: Sequence[date]) -> date:
    """The week to look at, the latest to begin with; a step to the one before and after."""
    if st.session_state.get(WEEK) not in weeks:
        st.session_state[WEEK] = weeks[0]
    at = weeks.index(st.session_state[WEEK])
    with st.container(key="hl-week-choice", horizontal=True, vertical_alignment="center"):
        before = weeks[at + 1] if at + 1 < len(weeks) else None
        after = weeks[at - 1] if at > 0 else None
        st.button("The week before", key="hl-step-before", on_click=_go, args=(before,), disabled=before is None)
        st.selectbox("Week", weeks, key=WEEK, format_func=week_in_words, label_visibility="collapsed")
        st.button("The week after", key="hl-step-after", on_click=_go, args=(after,), disabled=after is None)
    return weeks[at]


def _go(week: date) -> None:
    st.session_state[WEEK] = week


def tell_if_behind(latest: date) -> None:
    """Say plainly that the week we are in has no log, where the latest week of the log is an earlier one."""
    day = today()
    if day.isocalendar()[:2] > latest.isocalendar()[:2]:
        show(element("div", wording_club.behind(day, latest), class_="hl-quiet"))


def show_figures(weeks: Sequence[ClubWeekRow], row: ClubWeekRow, missing: Sequence[WithoutLogRow]) -> None:
    """The figures that decide, then what was trained, and what they come to."""
    (logs, refused), (_, balls, _, short) = wording_club.deciding(row), wording_club.in_figures(row)
    lead = element("a", "See what to do", href=f"#{REFUSED}", class_="hl-act hl-inline") if row.lines_refused else ""
    upto = [before.balls for before in weeks if before.week <= row.week][:SPARK_WEEKS]
    cards = (
        _card(logs, wording_club.missing_named([one.name for one in missing])),
        _card(refused, lead or wording_club.NOTHING_REFUSED, is_alarm=row.lines_refused > 0),
        _card(balls, bars(upto[::-1], width=SPARK_WEEKS * 14), wording_club.what_was_logged(row)),
        _card(short, wording_club.short_before(weeks, row.week)),
    )
    show(element("div", *cards, class_="hl-cards"))
    if wording_club.is_sound(row):
        st.success(wording_club.SOUND, icon=":material/check_circle:")


def _card(figure: Figure, *more: str, is_alarm: bool = False) -> Markup:
    value, _, of = figure.value.partition(" of ")
    number = element("b", value, *([element("small", f" of {of}")] if of else []))
    below = (element("span", part) for part in more if part)
    return element("div", element("span", figure.title), number, *below, class_=f"hl-card{' hl-alarm' * is_alarm}")


def show_picture(desk: Desk, week: date) -> None:
    """Groups and days."""
    if picture := questions.kept(desk, picture_of, week):
        with st.container(key="hl-card-picture"):
            st.header("Who trained when")
            show(picture)


def show_groups(desk: Desk, week: date, missing: Sequence[WithoutLogRow]) -> None:
    """Which groups' logs are missing, by whom they usually come, and a text that asks for them."""
    groups = reminders.missing_groups(questions.group_days(desk, week), missing, questions.group_coaches(desk, week))
    if not groups:
        return
    st.header("Whose logs to ask for")
    with st.container(key="hl-card-groups"):
        for group in groups:
            name = wording_club.group_in_words(group.name)
            st.markdown(f"**{verbatim(name)}**: {verbatim(reminders.how_far(group))}")
            with st.expander(f"A reminder to copy: {verbatim(name)}"):
                st.code(reminders.reminder(group, week), language=None, wrap_lines=True)


def show_attendance(desk: Desk, week: date) -> None:
    """Who was noted as here on the days of the week, by hand or by a plan of the hall, beside the logs."""
    days = reminders.days_here(here_in_week(desk, week), questions.player_days(desk, week))
    if days:
        st.header("Here, and in the log")
        show(attendance_table(days))
        st.caption(reminders.WHERE_FROM)


def show_without_log(missing: Sequence[WithoutLogRow]) -> None:
    """Who is missing, and since when."""
    if not missing:
        return
    st.header("No log this week")
    show(missing_table(missing))
    st.caption(wording_club.MISSING_IS_NOT_REST)


def show_refused_lines(desk: Desk, refused: Sequence[RefusedRow]) -> None:
    """The lines that wait to be mended, file by file, each with its file to mend."""
    files = refused_files(refused)
    if not files:
        return
    st.header("Lines still refused", anchor=REFUSED)
    st.write(wording_club.TO_MEND)
    with st.container(key="hl-files"):
        for file in files:
            lines = wording_club.lines_named(line.line for line in file.lines)
            with st.expander(f"{verbatim(file.file_name)}: {lines}", expanded=True):
                show_to_correct(desk, file, with_cells=False)


def show_weeks(weeks: Sequence[ClubWeekRow], week: date) -> None:
    """The same figures over the weeks, as charts and as a table."""
    st.header("Week by week")
    with st.grid(min_column_width=240):
        for measure in MEASURES:
            chart = json.loads(by_week_as_json(tuple(weeks), week, measure))
            st.vega_lite_chart(chart, alt=in_words(weeks, week, measure))
    with st.expander("The weeks as a table"):
        st.dataframe(frame_of(weeks, ClubWeekRow), hide_index=True, alt="The club's weeks, the latest first")


page("The club's week", "Are this week's logs in, and sound?", body)
