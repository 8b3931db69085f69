"""What was met and what not: the figures that decide, what to feed next, the grid, and how the balls were spread."""

from datetime import date

import streamlit as st

from dashboard import questions
from dashboard.questions import Desk
from dashboard.rows.coach import BoardRow
from dashboard.tables import player as tables_player
from dashboard.tables.grid import player_grid
from dashboard.tables.marks import legend
from dashboard.views.page_choices import what_is_this
from dashboard.words import figures
from dashboard.words import plan as plan_words
from dashboard.words import sentences as wording
from dashboard.words.phrases import DIMENSION_LABELS, balls, sessions, verbatim
from ingest.club_day import today

FED_NEXT = 5
MEASURES = {"angle": "The ball comes", "time": "Time to contact"}


def head(desk: Desk, me: BoardRow) -> None:
    """Who it is, and what keeps the recent training from being judged."""
    settings = questions.settings(desk)
    with st.container(key="hl-player"):
        st.header(verbatim(me.name))
    fed = f"{balls(me.balls)} in {sessions(me.sessions)} of the last {settings.window_days} days"
    st.markdown(f"{me.handedness}-handed · {verbatim(me.group_name or 'no group')} · {fed}")
    why = wording.standing(me, settings, questions.last_day(desk))
    if why:
        st.warning(f"{why[:1].upper()}{why[1:]}.", icon=":material/event_busy:")


def key_figures(desk: Desk, week: date, me: BoardRow) -> None:
    """The numbers that decide, and how the values came together."""
    player = me.player_id
    spread = questions.variety(desk, week, player)
    mix = questions.standard_success(desk, week, player)
    st.html(tables_player.key_figures(me, spread, mix[0] if mix else None, questions.trend(desk, player)))
    if spread is not None:
        few = wording.coverage_only(spread, questions.settings(desk))
        st.markdown(wording.combined(spread.spread) if spread.spread else few)
    what_is_this(desk, figures.VARIETY)


def coverage(desk: Desk, week: date, me: BoardRow) -> None:
    """What to feed next, and why: the grid, the pairs and the spread."""
    _feed_next(desk, me.player_id)
    st.subheader("Which balls were met")
    cells = questions.coverage(desk, week, me.player_id)
    st.html(player_grid(cells, me.handedness, questions.last_day(desk)) + legend())
    st.caption("As the player sees the table: the far end above. Numbers are balls in the window.")
    _pairs(desk, week, me.player_id)
    _spread(desk, week, me.player_id)
    what_is_this(desk, figures.COVERAGE)


def by_physics(desk: Desk, week: date, player: str) -> None:
    """Beyond the names of places: from which angles the balls came, and how much time they left."""
    with st.expander("From which angles, and how soon"):
        for measure, title in MEASURES.items():
            rows = questions.physical_coverage(desk, week, player, measure)
            st.html(tables_player.bands(measure, title, rows))
        st.caption(
            "As the playing hand meets them, worked out for a typical ball of the words in the log, from where the "
            "feeder stood."
        )
        doubtful = questions.most_doubtful(desk, week, player)
        if doubtful is not None:
            st.markdown(wording.doubtful_lengths(doubtful))
        what_is_this(desk, figures.BY_PHYSICS)


def _feed_next(desk: Desk, player: str) -> None:
    on = today()
    gaps = questions.feed_next(desk, player, on, FED_NEXT)
    st.subheader("What to feed next")
    if gaps:
        st.markdown("\n".join(f"1. {wording.feed_next(gap, on)}" for gap in gaps))
    else:
        st.markdown("Every wanted combination is covered, and none is clearly weak. Keep the mix.")
    st.page_link(
        "views/next_session.py",
        label="Plan the next session",
        icon=":material/event_note:",
        query_params={"player": player},
    )
    st.caption("What brings most for each minute first. As of today, whatever week the page shows.")
    if old := plan_words.old_log(questions.last_day(desk), on):
        st.warning(old, icon=":material/history:")
    what_is_this(desk, figures.GAPS)


def _pairs(desk: Desk, week: date, player: str) -> None:
    """What even margins hide: two values that never come together."""
    gaps = [row for row in questions.pairs(desk, week, player) if row.pairs_covered < row.pairs]
    if not gaps:
        return
    missing = questions.missing_pairs(desk, week, player)
    with st.expander(f"Pairs not yet met together ({len(missing)})"):
        for row in gaps:
            first, other = row.dimension, row.other_dimension
            these = [gap for gap in missing if (gap.dimension, gap.other_dimension) == (first, other)]
            title = f"{DIMENSION_LABELS[first]} with {DIMENSION_LABELS[other].lower()}"
            covered = f"{row.pairs_covered} of {row.pairs} pairs"
            st.markdown(f"**{title}: {covered}.** Missing: {wording.pair_gap(first, other, these)}.")
        what_is_this(desk, figures.PAIRS, figures.PAIRS_COVERED)


def _spread(desk: Desk, week: date, player: str) -> None:
    found = questions.variety(desk, week, player)
    if found is None:
        return
    few = wording.coverage_only(found, questions.settings(desk))
    with st.expander("How the balls were spread"):
        told = wording.spread(found.spread) if found.spread else [few]
        equally = questions.equal_balls(desk, week, player)
        told += [wording.equally_many(equally)] if equally else []
        st.markdown("\n".join(f"- {sentence}" for sentence in told))
        what_is_this(desk, figures.SPREAD, *([figures.EQUAL_BALLS] if equally else []))
