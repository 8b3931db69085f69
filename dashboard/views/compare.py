"""Compare: is the one who looks better really better, and is it better than before?"""

from collections.abc import Mapping, Sequence
from datetime import date

import streamlit as st

from dashboard import questions
from dashboard.questions import Desk
from dashboard.rows.building import Words
from dashboard.views.compare_kinds import show_kinds
from dashboard.views.frame import cut_off_caption, page
from dashboard.views.page_choices import weeks_with_players
from dashboard.words import compare as compare_words
from dashboard.words.own_balls import own_within
from dashboard.words.phrases import verbatim
from models.compare import CellInBlock, Likeness, by_kind, compare, equal_variety

Period = tuple[date, date]


def body(desk: Desk) -> None:
    """Two choices side by side, then the verdict, the two rates and what they rest on."""
    if not weeks_with_players(desk):
        return
    names = {row.player_id: row.name for row in questions.players(desk)}
    periods = compare_words.periods(questions.last_day(desk), questions.settings(desk))
    left, right = st.columns(2)
    with left:
        first, first_period = _choice(names, periods, "First", st.query_params.get("player"))
    with right:
        other, other_period = _choice(names, periods, "Beside", st.query_params.get("beside"))
    if first is None or other is None:
        _ask_beside_whom(desk, names, periods, first)
        return
    if first == other and compare_words.overlap(periods[first_period], periods[other_period]):
        st.markdown("These are the same balls: pick another player, or two periods of which none lies in the other.")
        return
    sides = [_fed(desk, first, periods[first_period]), _fed(desk, other, periods[other_period])]
    called = [names[first], names[other]]
    if first == other:
        called = [f"{names[first]} in {period}" for period in (first_period, other_period)]
    words = {row.cell: row.words for row in questions.coverage(desk, questions.weeks(desk)[0], first)}
    _tell(desk, sides, called, words)
    _tell_own(desk, [(called[0], first, periods[first_period]), (called[1], other, periods[other_period])])
    cut_off_caption(desk)


def _choice(
    names: Mapping[str, str], periods: Mapping[str, Period], title: str, asked: str | None
) -> tuple[str | None, str]:
    codes = list(names)
    with st.container(key=f"hl-card-{title.lower()}"):
        player = st.selectbox(
            f"{title} player",
            codes,
            index=codes.index(asked) if asked is not None and asked in names else None,
            format_func=lambda code: names[code],
            placeholder="Pick a player",
            key=_player_key(title, asked),
        )
        st.session_state.setdefault(f"compare-{title}-period", list(periods)[2])
        period = st.selectbox(f"{title} period", list(periods), key=f"compare-{title}-period")
    return player, period


def _tell_own(desk: Desk, sides: Sequence[tuple[str, str, Period]]) -> None:
    """What either counted alone, and nobody has accepted yet."""
    waiting = questions.waiting_blocks(desk)
    for name, player, period in sides:
        if told := own_within(waiting, *period, player):
            st.caption(f"{verbatim(name)}: {told}")


def _player_key(title: str, asked: str | None) -> str:
    """Another field wherever the address asks for another player, or the field would keep the one before."""
    return f"compare-{title}-player-{asked}"


def _ask_beside_whom(desk: Desk, names: Mapping[str, str], periods: Mapping[str, Period], first: str | None) -> None:
    """One touch for whoever trains in the same group, and for the same player before."""
    if first is None:
        st.markdown("Pick two players, or the same player in two periods.")
        return
    group = {row.player_id: row.group_name for row in questions.players(desk)}
    st.markdown(f"Beside whom is {verbatim(names[first])} to be seen?")
    before = list(periods)[3]
    with st.container(key="hl-beside", horizontal=True):
        for code in (code for code in names if code != first and group[code] == group[first]):
            st.button(verbatim(names[code]), key=f"beside-{code}", on_click=_put_beside, args=(code, None))
        st.button(
            f"{verbatim(names[first])}, {before}", key="beside-before", on_click=_put_beside, args=(first, before)
        )


def _put_beside(player: str, period: str | None) -> None:
    st.session_state[_player_key("Beside", st.query_params.get("beside"))] = player
    if period:
        st.session_state["compare-Beside-period"] = period


def _fed(desk: Desk, player: str, period: Period) -> list[CellInBlock]:
    return [
        CellInBlock(row.cell, row.session_id, row.block, row.balls, row.good)
        for row in questions.block_cells(desk, player, *period)
    ]


def _tell(desk: Desk, sides: list[list[CellInBlock]], called: list[str], words: Mapping[str, Words]) -> None:
    alike, settings = questions.block_likeness(desk), questions.settings(desk)
    shared, safe = Likeness(alike.likeness, alike.session_likeness), [verbatim(name) for name in called]
    found = compare(sides[0], sides[1], shared, settings)
    with st.container(key="hl-card-verdict"):
        st.markdown(compare_words.verdict(found, safe[0], safe[1], settings))
        for name, side in zip(safe, (found.first, found.other), strict=True):
            st.markdown(f"**{name}**: {compare_words.side(side)}")
        st.markdown(compare_words.variety(equal_variety(sides[0], sides[1], settings), *safe))
    if found.cells:
        show_kinds(by_kind(sides[0], sides[1], shared, settings), words, called)
    with st.expander("For the curious: how it is compared"):
        st.markdown(compare_words.HOW_IT_IS_COMPARED)


page("Compare", "Is the one who looks better really better, and is it better than before?", body)
