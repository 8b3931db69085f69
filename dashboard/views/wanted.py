"""What is wanted: the mix of balls for the club, a group or a player, and what changes with it before it counts."""

from collections.abc import Mapping

import streamlit as st

from dashboard import questions
from dashboard.questions import Desk
from dashboard.rows.lists import WantedShareRow
from dashboard.services import lists
from dashboard.views.frame import page, refusals_told
from dashboard.views.line_form import rounds, send, tell_what_became
from dashboard.views.mix import ask_mix, tell_grid
from dashboard.views.refusals import counted, under_way
from dashboard.views.saved_lately import show_saved_lately
from dashboard.words.lists import code_and_name, covered_told
from ingest.club_day import today
from models.mix import EVERYBODY, mix_of, target_lines

TRIED = "wanted-tried"


def body(desk: Desk) -> None:
    """For whom; the mix; what it would change; saving it."""
    receivers = receivers_for(desk)
    if not receivers:
        st.info("There is nobody yet for whom a mix could be set. The players come first.", icon=":material/group:")
        return
    whom = st.selectbox("For whom?", list(receivers), format_func=receivers.__getitem__, key="wanted-for")
    tell_what_became(_form(whom))
    own = shares_of(desk, whom)
    begun = own or inherited(desk, whom)
    if not own:
        st.caption("There is no mix of their own yet. What stands here holds for them now; saving makes it their own.")
    mix = ask_mix(f"wanted-{whom}-{rounds()}", mix_of((row.dimension, row.value, row.share) for row in begun))
    tell_grid(mix, questions.settings(desk))
    lines = target_lines(mix, whom, {(row.target, row.dimension, row.value): row.share for row in own})
    with refusals_told():
        offer_to_save(desk, whom, lines)
    if own and whom != EVERYBODY:
        offer_to_take_out(desk, whom, own)
    show_saved_lately(desk, "targets")


def receivers_for(desk: Desk) -> dict[str, str]:
    """For whom the reader may set a mix: everybody, their groups, their players."""
    players = questions.players(desk) if desk.folder.publication_in_force() else ()
    everybody = {EVERYBODY: "The whole club"} if desk.reader.reads_everybody and players else {}
    groups = {group: f"Group {group}" for group in sorted({row.group_name for row in players if row.group_name})}
    return everybody | groups | {row.player_id: code_and_name(row.player_id, row.name) for row in players}


def shares_of(desk: Desk, whom: str) -> tuple[WantedShareRow, ...]:
    """What is wanted for them by a mix of their own."""
    is_player = whom in questions.names_by_code(desk)
    return questions.wanted_of_one(desk, whom) if is_player else questions.wanted_of_all(desk, whom)


def inherited(desk: Desk, whom: str) -> tuple[WantedShareRow, ...]:
    """What holds for them without one of their own: that of a player's group, else that of the club."""
    groups: Mapping[str, str | None] = {row.player_id: row.group_name for row in questions.players(desk)}
    group = groups.get(whom)
    return (questions.wanted_of_all(desk, group) if group else ()) or questions.wanted_of_all(desk, EVERYBODY)


def offer_to_save(desk: Desk, whom: str, lines: list[dict[str, object]]) -> None:
    """Show what changes first; then it can be saved."""
    if not lines:
        st.caption("Nothing is changed yet.")
        return
    if st.button("Show what changes", icon=":material/compare_arrows:", key=f"try-{whom}"):
        with under_way("Working out what would change …") as say:
            found = lists.covered_if(desk, "targets", lines, today=today(), say=say)
        st.session_state[TRIED] = lines, found
    tried = st.session_state.get(TRIED)
    if tried is None or tried[0] != lines:
        return
    changed = [(now, then) for now, then in tried[1] if covered_told(now) != covered_told(then)]
    st.markdown(_told(len(changed), len(tried[1])))
    if changed:
        rows = [{"Player": now.name, "Now": covered_told(now), "Then": covered_told(then)} for now, then in changed]
        st.dataframe(rows, hide_index=True, alt="Combinations covered now and then, player by player")
    if st.button("Save this mix", icon=":material/save:", type="primary", key=f"save-{whom}"):
        send(desk, _form(whom), "targets", lines)


def _told(changed: int, of: int) -> str:
    if not changed:
        return "**What changes:** nobody of yours covers more or fewer combinations with it."
    return f"**What changes:** for {changed} of {counted(of, 'player')} the combinations wanted or covered."


def offer_to_take_out(desk: Desk, whom: str, own: tuple[WantedShareRow, ...]) -> None:
    """Give up a mix of their own."""
    if not st.button("Take their own mix out", help="What holds for the group or the club holds for them then."):
        return
    in_force = {(row.target, row.dimension, row.value): row.share for row in own}
    with refusals_told():
        send(desk, _form(whom), "targets", target_lines({}, whom, in_force))


def _form(whom: str) -> str:
    return f"targets-{whom}"


page("What is wanted", "Which mix of balls shall the club, a group or a player train?", body)
