"""One player in depth: what was met and what not, how success goes, and what to feed next."""

from collections.abc import Mapping
from datetime import date
from typing import Any

import polars as pl
import streamlit as st

from dashboard import charts_player, questions, tables_player, wording
from dashboard.frame import cut_off_caption, page
from dashboard.grid_table import player_grid
from dashboard.marks import legend
from dashboard.phrases import DIMENSION_LABELS, verbatim
from dashboard.questions import Desk
from dashboard.views.chosen import chosen_player, chosen_week, last_day, what_is_this

CUTS = {"Spin": "spin", "Depth": "depth", "Side": "side", "Length": "length", "Tempo": "tempo_band", "Stroke": "stroke"}
FED_NEXT = 5
ORDERS_SHOWN = 8

Row = Mapping[str, Any]


def body(desk: Desk) -> None:
    """The player's page, from what decides first to the details."""
    with st.container(horizontal=True, vertical_alignment="bottom"):
        week = chosen_week(desk)
        if week is None:
            return
        player = chosen_player(questions.players(desk), "Player")
    if player is None:
        st.info("Pick a player, or come from a name on the coverage board.", icon=":material/person_search:")
        return
    me = next(row for row in questions.board(desk, week).iter_rows(named=True) if row["player_id"] == player)
    _head(desk, me)
    if me["standing"] == "no_log":
        st.info("Nothing was logged for this player up to this week.", icon=":material/event_busy:")
        return
    if me["cells"] is None:
        st.info("No target applies to this player, so there is no grid to cover.", icon=":material/target:")
    else:
        _coverage(desk, week, me)
    _success(desk, week, player)
    _weeks(desk, week, player)
    _errors(desk, week, player)
    _order(desk, week, player)
    _load(desk, week, player)
    cut_off_caption(desk)


def _head(desk: Desk, me: Row) -> None:
    st.header(verbatim(me["name"]))
    st.markdown(f"{me['handedness']}-handed · {verbatim(me['group_name'] or 'no group')}")
    why = wording.standing(me, questions.settings(desk), last_day(desk))
    if why:
        st.warning(f"{why[:1].upper()}{why[1:]}.", icon=":material/event_busy:")
    if me["cells"] is not None:
        st.html(tables_player.key_figures(me, is_judged=me["standing"] == "judged"))
        columns = ("cells_covered", "cells", "pairs_covered", "pairs", "effective_conditions", "balls", "sessions")
        what_is_this(desk, "report.variety", *columns, uses=("window_days", "covered_balls"))


def _coverage(desk: Desk, week: date, me: Row) -> None:
    seen_from = last_day(desk)
    next_feeds = questions.feed_next(desk, week, me["player_id"], FED_NEXT).to_dicts()
    st.subheader("What to feed next")
    if next_feeds:
        st.markdown("\n".join(f"1. {wording.feed_next(cell, seen_from)}" for cell in next_feeds))
        st.caption("Of the combinations not covered: the most wanted first; of these, first what was never met.")
    else:
        st.markdown("Every wanted combination is covered. Keep the mix.")
    st.subheader("Which balls were met")
    cells = questions.coverage(desk, week, me["player_id"]).to_dicts()
    st.html(player_grid(cells, me["handedness"], seen_from) + legend())
    st.caption("As the player sees the table: the far end above. Numbers are balls in the window.")
    _pairs(desk, week, me["player_id"])
    columns = ("status", "balls", "last_met_on", "wanted_share", "need_balls")
    what_is_this(desk, "report.coverage", *columns, uses=("window_days", "covered_balls"))


def _pairs(desk: Desk, week: date, player: str) -> None:
    """What even margins hide: two values that never come together."""
    gaps = questions.pairs(desk, week, player).filter(pl.col("pairs_covered") < pl.col("pairs"))
    if gaps.is_empty():
        return
    missing = questions.missing_pairs(desk, week, player)
    with st.expander(f"Pairs not yet met together ({len(missing)})"):
        for row in gaps.iter_rows(named=True):
            first, other = row["dimension"], row["other_dimension"]
            these = missing.filter(pl.col("dimension") == first, pl.col("other_dimension") == other).to_dicts()
            title = f"{DIMENSION_LABELS[first]} with {DIMENSION_LABELS[other].lower()}"
            covered = f"{row['pairs_covered']} of {row['pairs']} pairs"
            st.markdown(f"**{title}: {covered}.** Missing: {wording.pair_gap(first, other, these)}.")


def _success(desk: Desk, week: date, player: str) -> None:
    settings = questions.settings(desk)
    st.subheader("How success goes")
    overall = questions.success(desk, week, player, "all").to_dicts()
    st.markdown(wording.success(overall[0] if overall else None, settings))
    name = st.segmented_control("By", list(CUTS), default="Spin", required=True)
    values = questions.success(desk, week, player, CUTS[name])
    if not values.is_empty():
        rated = values.with_columns(
            label=pl.Series([tables_player.counted(row) for row in values.iter_rows(named=True)], dtype=pl.String)
        )
        st.altair_chart(
            charts_player.success_by_value(rated),
            alt=wording.chart_alt(f"Success by {name.lower()}", values.to_dicts(), settings),
        )
    what_is_this(desk, "report.success", "balls", "good", "rate", "low", "high", uses=("window_days", "rate_balls"))


def _weeks(desk: Desk, week: date, player: str) -> None:
    settings, seen_from = questions.settings(desk), last_day(desk)
    weeks = questions.player_weeks(desk, week, player)
    sessions = questions.player_sessions(desk, week, player)
    told = [
        wording.then_and_now(questions.then_and_now(desk, week, player), settings.window_days, seen_from),
        wording.session_swing(sessions.to_dicts(), seen_from),
    ]
    st.subheader("Over the weeks")
    st.markdown("\n\n".join(told))
    if weeks.height < 2:
        return
    st.altair_chart(charts_player.success_over_weeks(weeks, sessions), alt=" ".join(["Success over the weeks.", *told]))
    st.altair_chart(charts_player.balls_by_week(weeks), alt=wording.weeks_alt("Balls", weeks.to_dicts(), seen_from))
    st.caption(
        f"Line and band: the {settings.window_days} days that end with each week, and their range. Circles: single "
        "sessions. Crosses: no log in that week, which says nothing about whether there was training."
    )
    columns = ("rate", "low", "high", "then_rate", "then_low", "then_high")
    what_is_this(desk, "report.then_and_now", *columns, uses=("window_days", "rate_balls"))


def _errors(desk: Desk, week: date, player: str) -> None:
    st.subheader("Which mistakes go with which spin")
    errors = questions.errors(desk, week, player).to_dicts()
    if errors:
        st.html(tables_player.errors(errors, questions.settings(desk)))
    else:
        st.markdown("No line in this window names its mistakes (net, long, wide, missed).")
    what_is_this(desk, "report.errors", "balls", "noted_balls", "share", uses=("window_days", "rate_balls"))


def _order(desk: Desk, week: date, player: str) -> None:
    st.subheader("In what order the balls came")
    orders = questions.orders_seen(desk, week, player, ORDERS_SHOWN).to_dicts()
    if not orders:
        st.markdown("No ball of this player was logged one by one, so the order is not known.")
        return
    st.html(tables_player.orders(orders, last_day(desk)))
    kinds = wording.after_a_change(questions.after_a_change(desk, week, player).to_dicts())
    st.markdown("\n".join(f"- {sentence}" for sentence in kinds))
    st.caption(wording.ORDER_EVIDENCE)
    with st.container(horizontal=True):
        what_is_this(desk, "report.schedule", "balls", "conditions", "switch_rate", "order_seen")
        what_is_this(desk, "report.after_a_change", "ball_kind", "balls", "rate", uses=("window_days", "rate_balls"))


def _load(desk: Desk, week: date, player: str) -> None:
    weeks = questions.player_weeks(desk, week, player)
    last = weeks.row(-1, named=True)
    st.subheader("Load by week")
    st.markdown(wording.load(last))
    if weeks.height > 1:
        alt = wording.weeks_alt("Minutes", weeks.to_dicts(), last_day(desk))
        st.altair_chart(charts_player.minutes_by_week(weeks), alt=alt)
        st.caption("A cross: no log, or no minutes noted. That is missing, not rest.")
    st.caption("Load is described here; it predicts nothing.")
    columns = ("sessions", "minutes", "effort_load", "weeks_compared", "week_change")
    what_is_this(desk, "report.load", *columns)


page(
    "One player",
    "How varied is this player's training, how does success go, and what do I feed next?",
    body,
)
