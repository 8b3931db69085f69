"""What is stored: of whom, why, for how long, who sees it, and how to have it or be forgotten. For everybody."""

from collections.abc import Sequence
from typing import Any

import streamlit as st

from dashboard import questions
from dashboard.door.person import archive_path
from dashboard.drawings.markup import element
from dashboard.questions import Desk
from dashboard.rows.building import frame_of
from dashboard.rows.club import StoredRow
from dashboard.services.personal_data import forget_player, mentions_of
from dashboard.views.frame import is_confirmed, page, refusals_told
from dashboard.words import privacy as privacy_words
from dashboard.words.phrases import verbatim
from ingest.club_day import today
from sql.warehouse import NothingPublished

KEEP, DELETE = "Keep the lines without a person", "Delete the lines too"

COLUMNS: dict[str, Any] = {
    "player_id": "Code",
    "name": "Name",
    "last_logged_on": st.column_config.DateColumn("Last log", format="D MMM YYYY"),
    "group_name": "Group",
    "is_active": st.column_config.CheckboxColumn("Trains at present"),
}


def body(desk: Desk) -> None:
    """What everybody may know, and a copy of one's own; for a coordinator also who is to be asked, and forgetting."""
    if not desk.reader.keeps_accounts:
        tell_what_is_stored(desk)
        offer_own_copies(desk)
        return
    for_everybody, for_the_coordinator = st.tabs(["For everybody", "For the coordinator"])
    with for_everybody:
        tell_what_is_stored(desk)
    with for_the_coordinator:
        look_after_the_stored(desk)


def tell_what_is_stored(desk: Desk) -> None:
    """What, why, for how long, who, where."""
    _listed("What", privacy_words.WHAT)
    st.header("Why")
    st.markdown(privacy_words.WHY)
    _listed("For how long", privacy_words.how_long(desk.folder.settings()))
    _listed("Who sees it", privacy_words.WHO)
    st.header("Where")
    st.markdown(privacy_words.WHERE)
    st.header("A copy, and being forgotten")
    st.markdown(privacy_words.RIGHTS)


def _listed(title: str, sentences: tuple[str, ...] | list[str]) -> None:
    st.header(title)
    st.markdown("\n".join(f"- {sentence}" for sentence in sentences))


def offer_own_copies(desk: Desk) -> None:
    """A copy for the player, and one of each ward for a guardian."""
    names = questions.names_by_code(desk)
    for player in sorted(desk.reader.players):
        offer_copy(player, names.get(player, player))


def offer_copy(player: str, name: str) -> None:
    """A link to the route that makes the files when it is followed, asks again who is there, and notes it."""
    words = f"Download everything stored of {name} (zip)"
    st.html(element("a", words, href=archive_path(player), target="_self", class_="hl-act hl-inline"))


def look_after_the_stored(desk: Desk) -> None:
    """Whose consent is not noted, who is due to be forgotten, and one player's data."""
    try:
        stored = questions.stored_players(desk)
    except NothingPublished:
        st.markdown("Nobody is stored yet.")
        return
    show_without_consent(desk)
    show_due(desk)
    st.header("One player")
    names = {row.player_id: f"{row.name} ({row.player_id})" for row in stored}
    player = st.selectbox(
        "Whose data?", list(names), index=None, format_func=lambda code: names[code], placeholder="Pick a player"
    )
    tell_what_was_done()
    if player is not None:
        offer_copy(player, names[player])
        offer_to_forget(desk, player)


def show_without_consent(desk: Desk) -> None:
    """Of whom nobody has noted that they agreed."""
    st.header("Consent not noted")
    _table(
        questions.without_consent(desk),
        "Of every player it is noted when they, or a guardian, agreed.",
        "Players without a noted consent: code, name, day of the last log, group, whether they train at present",
    )
    st.caption("The day stands in the column consent_on of the list of players. Load the list again to note it.")


def show_due(desk: Desk) -> None:
    """Who has had no log for longer than the club's setting."""
    since = desk.folder.settings().logs_kept_since(today())
    st.header("Due to be forgotten")
    if since is None:
        st.markdown("The club has set no limit (`retention_months` in club.toml).")
        return
    _table(
        questions.due_to_be_forgotten(desk, since),
        "Nobody is without a log for longer than the club's setting.",
        "Players without a log for long: code, name, day of the last log, group, whether they train at present",
    )
    st.caption(f"No log since {since:%d %B %Y}. How long is a setting, and nobody is erased unless you do it below.")


def _table(rows: Sequence[StoredRow], none: str, alt: str) -> None:
    if not rows:
        st.markdown(none)
    else:
        shown = frame_of(rows, StoredRow).select(*COLUMNS)
        st.dataframe(shown, column_config=COLUMNS, hide_index=True, placeholder="", alt=alt)


def offer_to_forget(desk: Desk, player: str) -> None:
    """Forget the player once somebody has read what that does and typed the code."""
    with st.expander("Forget this player"):
        if not is_confirmed(desk):
            return
        choice = st.radio("The log lines", [KEEP, DELETE], index=None, key=f"lines-{player}")
        if choice is None:
            return
        keeps_lines = choice == KEEP
        st.markdown(privacy_words.will_happen(keeps_lines=keeps_lines))
        meant_in = ask_who_is_meant(desk, player)
        typed = st.text_input(f"Type the code {verbatim(player)} to confirm", key=f"typed-{player}")
        if st.button("Forget this player for good", icon=":material/person_remove:", disabled=typed != player):
            do_forget(desk, player, meant_in, keeps_lines=keeps_lines)


def ask_who_is_meant(desk: Desk, player: str) -> list[str]:
    """The texts in which a part of the name means this player: all that were found, but for those taken out."""
    found = mentions_of(desk.folder, player, desk.reader)
    if not found:
        return []
    st.markdown(privacy_words.WHO_IS_MEANT)
    st.markdown("\n".join(f"- {verbatim(privacy_words.mention_in_words(one))}" for one in found))
    meant = st.multiselect(
        "Texts that mean this player",
        found,
        default=found,
        format_func=privacy_words.mention_in_words,
        key=f"meant-{player}",
    )
    return [one.text for one in meant]


def do_forget(desk: Desk, player: str, meant_in: list[str], *, keeps_lines: bool) -> None:
    """Forget, and tell on the page as it is drawn next; or tell why not."""
    with refusals_told():
        with st.spinner("Erasing, and building the published tables anew"):
            forgotten = forget_player(desk.folder, player, desk.reader, keeps_lines=keeps_lines, meant_in=meant_in)
        st.session_state["was_forgotten"] = list(privacy_words.was_done(forgotten, desk.folder.settings()))
        st.rerun()


def tell_what_was_done() -> None:
    """What was done last, and what is left to do; where the eye is, for there it was done."""
    first, *others = st.session_state.pop("was_forgotten", [""])
    if first:
        st.success(verbatim(first), icon=":material/check_circle:")
        st.markdown("\n\n".join(verbatim(sentence) for sentence in others))


page("What is stored", "What is stored of whom, why, for how long, and who sees it?", body)
