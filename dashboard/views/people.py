"""People: who may come in to these pages, and as what."""

import polars as pl
import streamlit as st

from dashboard import questions
from dashboard.questions import Desk
from dashboard.services import accounts as account_services
from dashboard.services.accounts import Person
from dashboard.views.frame import is_confirmed, page, refusals_told
from dashboard.views.open_links import keep_in_sight, show_open_links
from dashboard.words.people import role_in_words
from dashboard.words.phrases import verbatim
from models.permits import EVERY_GROUP, Role
from sql.club.accounts import LONGEST_NAME, Account, name_key
from sql.warehouse import NothingPublished

Stand = tuple[Role, list[str], list[str]]  # A role, with the players and the groups that it stands for.

ROLE_HELP = (
    "A coordinator brings logs in, sees everybody and looks after accounts. A coach sees the players of their own "
    "groups. A player sees their own page. A guardian sees the pages of their wards."
)


LOST_DEVICE = "As when a device is lost: from now on the password is enough, until there is another passkey."


def body(desk: Desk) -> None:
    """What was just done; inviting somebody; the accounts; one of them closely."""
    tell_what_happened()
    persons = account_services.people(desk.folder, desk.reader)
    show_open_links(desk, {one.account.account: one.account for one in persons})
    with st.expander("Invite somebody", icon=":material/person_add:"):
        if is_confirmed(desk):
            invite_somebody(desk)
    players = questions.names_by_code(desk)
    rows = [
        {
            "Name": one.account.name,
            "Stands for": role_in_words(one.account.reader, players),
            "State": one.state,
            "Signed-in browsers": one.browsers,
            "Passkeys": one.passkeys,
        }
        for one in persons
    ]
    st.dataframe(pl.DataFrame(rows), hide_index=True, alt="Every account: its name, what it stands for, its state")
    by_number = {one.account.account: one for one in persons}
    number = st.selectbox(
        "Look at one account",
        list(by_number),
        index=None,
        format_func=lambda one: by_number[one].account.name,
        placeholder="Pick one",
    )
    if number is not None:
        show_account(desk, by_number[number])


def invite_somebody(desk: Desk) -> None:
    """A name and what it stands for make an account with a link."""
    name = st.text_input("Name to sign in with", max_chars=LONGEST_NAME, key=f"invite-{rounds()}")
    role, players, groups = ask_standing(desk, "invite", None)
    if st.button("Make the account and a link", disabled=not name.strip()):
        with refusals_told():
            tell_link(desk, name, account_services.invite(desk, name, role, players=players, groups=groups))


def ask_standing(desk: Desk, key: str, account: Account | None) -> Stand:
    """A role, and the players or groups that it stands for."""
    offered = account_services.roles_offered(desk.folder)
    now = account.role if account else Role.PLAYER
    now = now if now in offered else offered[0]
    role = st.segmented_control(
        "Role", list(offered), default=now, required=True, help=ROLE_HELP, key=f"role-{key}-{rounds()}"
    )
    names, groups = known(desk)
    if role in (Role.PLAYER, Role.GUARDIAN):
        return role, ask_players(role, names, key, account), []
    if role is Role.COACH:
        chosen = [group for group in sorted(account.groups if account else ()) if group in groups]
        return (
            role,
            [],
            st.multiselect(
                "Groups", groups, default=chosen, format_func=group_in_words, key=f"groups-{key}-{rounds()}"
            ),
        )
    return role, [], []


def ask_players(role: Role, names: dict[str, str], key: str, account: Account | None) -> list[str]:
    """The player who it is, or the wards."""
    own = [code for code in sorted(account.players if account else ()) if code in names]
    if role is Role.GUARDIAN:
        return st.multiselect(
            "Wards", list(names), default=own, format_func=lambda code: names[code], key=f"wards-{key}-{rounds()}"
        )
    index = list(names).index(own[0]) if own else None
    chosen = st.selectbox(
        "Player", list(names), index=index, format_func=lambda code: names[code], key=f"player-{key}-{rounds()}"
    )
    return [chosen] if chosen else []


def known(desk: Desk) -> tuple[dict[str, str], list[str]]:
    """The names of the active players by code, and the groups; none before the first list is loaded."""
    try:
        rows = questions.players(desk)
        return {row.player_id: f"{row.name} ({row.player_id})" for row in rows}, [
            EVERY_GROUP,
            *questions.groups(desk),
        ]
    except NothingPublished:
        return {}, [EVERY_GROUP]


def group_in_words(group: str) -> str:
    """A group as the list names it."""
    return "Every group" if group == EVERY_GROUP else group


def show_account(desk: Desk, person: Person) -> None:
    """One account, and what can be done with it."""
    account = person.account
    with st.container(border=True):
        st.header(verbatim(account.name))
        with refusals_told(), st.container(horizontal=True):
            if st.button("New link", icon=":material/link:", help="Its person sets a new password with it."):
                tell_link(desk, account.name, account_services.new_link(desk.folder, account, desk.reader))
            if st.button("Sign out everywhere", icon=":material/logout:"):
                ended = account_services.sign_out_everywhere(desk.folder, account, desk.reader)
                tell(f"{account.name} is signed out everywhere (browsers: {ended}).")
            if person.passkeys and st.button("Remove passkeys", icon=":material/key_off:", help=LOST_DEVICE):
                removed = account_services.remove_passkeys(desk.folder, account, desk.reader)
                tell(f"{account.name} has no passkey any more (there were {removed}).")
            if st.button("Remove", icon=":material/person_remove:"):
                st.session_state["account_to_remove"] = account.account
        with refusals_told():
            offer_to_remove(desk, account)
        with st.expander("Another role"):
            role, players, groups = ask_standing(desk, f"change-{account.account}", account)
            if st.button("Change it"):
                with refusals_told():
                    account_services.change_role(desk, account, role, players=players, groups=groups)
                    tell(f"{account.name} has another role from now on.")


def offer_to_remove(desk: Desk, account: Account) -> None:
    """Remove the account once somebody has read what that does and said yes."""
    if st.session_state.get("account_to_remove") != account.account:
        return
    st.markdown(
        f"**Remove {verbatim(account.name)}?** The person is signed out everywhere and cannot come back. What they "
        "loaded stays in the log, and what they did stays in the audit trail."
    )
    with st.container(horizontal=True):
        is_meant, is_kept = st.button("Yes, remove it"), st.button("No, keep it")
    if is_meant or is_kept:
        del st.session_state["account_to_remove"]
    if is_meant:
        account_services.remove(desk.folder, account, desk.reader)
        tell(f"The account {account.name} is removed.")
    if is_kept:
        st.rerun()


def tell_link(desk: Desk, name: str, path: str) -> None:
    """Keep a link in sight, on the page as it is drawn next."""
    persons = account_services.people(desk.folder, desk.reader)
    keep_in_sight(next(one.account.account for one in persons if name_key(one.account.name) == name_key(name)), path)
    tell(f"There is a link for {' '.join(name.split())}.")


def tell(sentence: str) -> None:
    """Draw the page anew, with this on top and empty fields."""
    st.session_state["people_told"] = sentence
    st.session_state["people_rounds"] = rounds() + 1
    st.rerun()


def tell_what_happened() -> None:
    """What was done last."""
    if sentence := st.session_state.pop("people_told", None):
        st.success(verbatim(sentence), icon=":material/check_circle:")


def rounds() -> int:
    """How often something was done here: a new number gives new, empty fields."""
    return int(st.session_state.get("people_rounds", 0))


page("People", "Who may come in to these pages, and as what?", body)
