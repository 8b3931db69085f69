"""How success goes: now, over the weeks, and which mistakes go with which spin."""

from collections.abc import Sequence
from datetime import date

import streamlit as st

from dashboard import questions
from dashboard.charts import player as charts_player
from dashboard.questions import Desk
from dashboard.rows.player import SuccessRow
from dashboard.tables import player as tables_player
from dashboard.tables.player_weeks import weeks_in_figures
from dashboard.views.page_choices import last_day_caption, what_is_this
from dashboard.words import figures
from dashboard.words import judged as wording_judged
from dashboard.words import sentences as wording
from dashboard.words import weeks as weeks_words

CUTS = {"Spin": "spin", "Depth": "depth", "Side": "side", "Length": "length", "Tempo": "tempo_band", "Stroke": "stroke"}


def success(desk: Desk, week: date, player: str) -> None:
    """How often the ball landed where the drill asked, over all and by what the ball was."""
    settings = questions.settings(desk)
    st.subheader("How success goes")
    overall = questions.success(desk, week, player, "all")
    st.markdown(wording.success(overall[0] if overall else None, settings))
    mix = questions.standard_success(desk, week, player)
    st.markdown(wording.on_wanted_mix(mix[0] if mix else None))
    name = st.segmented_control("By", list(CUTS), default="Spin", required=True, key="success_by")
    _by_value(desk, name, questions.success(desk, week, player, CUTS[name]))
    worth = [wording.worth(overall[0])] if overall else []
    st.caption(" ".join([*worth, wording.likeness(questions.block_likeness(desk), settings)]))
    what_is_this(desk, figures.SUCCESS, figures.WANTED_MIX, figures.LIKENESS)


def _by_value(desk: Desk, name: str, values: Sequence[SuccessRow]) -> None:
    if not values:
        return
    alt = wording.chart_alt(f"Success by {name.lower()}", values, questions.settings(desk))
    labels = [tables_player.counted(row) for row in values]
    st.altair_chart(charts_player.success_by_value(values, labels), alt=alt)
    with st.expander("In figures"):
        st.html(tables_player.success(values))
        st.caption("For ranking: pulled towards the player's own level, the more the fewer balls there are.")


def over_the_weeks(desk: Desk, week: date, player: str) -> None:
    """Whether success is rising or falling, and the sessions and weeks behind that."""
    settings, seen_from = questions.settings(desk), questions.last_day(desk)
    trend = questions.trend(desk, player)
    told = wording_judged.trend(trend, settings, seen_from)
    st.subheader("Is it rising or falling?")
    st.markdown(told)
    last_day_caption(desk, f"Over {settings.judged_weeks} weeks, a setting.")
    _draw_weeks(desk, week, player, wording_judged.trend_in_short(trend))
    with st.expander("Then and now, like for like"):
        earlier = questions.then_and_now(desk, week, player)
        st.markdown(wording_judged.then_and_now(earlier, settings.window_days, seen_from))
        st.markdown(wording.session_swing(questions.player_sessions(desk, week, player), seen_from))
    with st.expander("By spin, depth and so on"):
        _trend_by_value(desk, player)
    what_is_this(desk, figures.TREND, figures.THEN_AND_NOW, figures.SESSIONS)


def _draw_weeks(desk: Desk, week: date, player: str, verdict: str) -> None:
    settings, seen_from = questions.settings(desk), questions.last_day(desk)
    weeks, windows = questions.player_weeks(desk, week, player), questions.success_by_week(desk, week, player)
    if len(weeks) < 2:
        return
    sessions = questions.player_sessions(desk, week, player)
    swing = wording.session_swing(sessions, seen_from)
    title = f"All sessions together: {verdict}"
    chart = charts_player.success_over_weeks(windows, sessions, title)
    st.altair_chart(chart, alt=f"Success over the weeks. {title}. {swing}")
    st.altair_chart(charts_player.balls_by_week(weeks), alt=weeks_words.weeks_alt("Balls", weeks, seen_from))
    st.caption(
        f"Line and band: the {settings.window_days} days that end with each week, and their range. Circles: single "
        "sessions. Crosses: no log in that week, which says nothing about whether there was training."
    )
    with st.expander("The weeks in figures"):
        st.html(weeks_in_figures(weeks, windows, seen_from))


def _trend_by_value(desk: Desk, player: str) -> None:
    name = st.segmented_control("Trend by", list(CUTS), default="Spin", required=True, key="trend_by")
    values = questions.trends(desk, player, CUTS[name])
    if not values:
        st.markdown("No such ball in these weeks.")
        return
    labels = [tables_player.trended(row) for row in values]
    alt = "; ".join([f"Trend by {name.lower()}", *labels])
    st.altair_chart(charts_player.change_by_value(values, labels), alt=alt)
    st.caption("From the first session to the last, on balls equally hard.")


def mistakes(desk: Desk, week: date, player: str) -> None:
    """Which mistakes go with which spin: those that stand out, then all."""
    st.subheader("Which mistakes go with which spin")
    errors = questions.errors(desk, week, player)
    if not errors:
        st.markdown("No line in this window names its mistakes (net, long, wide, missed).")
    else:
        out = wording.standing_out(errors)
        none = "No mistake is clearly more frequent on one spin than on the others."
        st.markdown("\n".join(f"- {sentence}" for sentence in out) if out else none)
        with st.expander("All mistakes by spin"):
            st.html(tables_player.errors(errors, questions.settings(desk)))
            st.caption("▲ clearly more frequent than on the player's other spins. In 100 of the balls noted.")
    what_is_this(desk, figures.MISTAKES)
