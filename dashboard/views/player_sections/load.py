"""How much was trained, week by week: described, never judged."""

from datetime import date

import streamlit as st

from dashboard import questions
from dashboard.charts import player as charts_player
from dashboard.questions import Desk
from dashboard.views.page_choices import what_is_this
from dashboard.words import figures
from dashboard.words import weeks as weeks_words


def load(desk: Desk, week: date, player: str) -> None:
    """The week's load beside the weeks before, and for the young the guidance that there is."""
    weeks = questions.player_weeks(desk, week, player)
    last = weeks[-1]
    st.subheader("Load by week")
    st.markdown(" ".join(filter(None, [weeks_words.load(last), weeks_words.effort(last)])))
    if len(weeks) > 1:
        alt = weeks_words.weeks_alt("Minutes", weeks, questions.last_day(desk))
        st.altair_chart(charts_player.minutes_by_week(weeks), alt=alt)
        st.caption("A cross: no log, or no minutes noted. That is missing, not rest.")
    guidance = weeks_words.guidance(last)
    if guidance:
        st.markdown(guidance)
    st.caption("Load is described here; it predicts nothing.")
    what_is_this(desk, figures.LOAD)
