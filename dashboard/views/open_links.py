"""Links that were made on this page: in sight until they are used or taken back, to copy, to send, to be photographed.

Of a link only a fingerprint is stored, so that it stands here for as long as the page stays open, and cannot be shown
again.
"""

from urllib.parse import urlsplit

import segno
import streamlit as st

from dashboard.drawings.markup import element
from dashboard.questions import Desk
from dashboard.services import accounts as account_services
from dashboard.words.people import invitation_to_send
from dashboard.words.phrases import verbatim
from sql.club.accounts import Account

LINKS = "people_links"
"""Where the browser's session keeps them: the address by the number of the account."""

QUIET_ZONE_PX = 4
MODULE_PX = 5


def keep_in_sight(account: int, path: str) -> None:
    """Show the link of an account from now on, in place of an earlier one."""
    here = urlsplit(st.context.url or "")
    origin = f"{here.scheme}://{here.netloc}" if here.netloc else ""
    st.session_state[LINKS] = st.session_state.get(LINKS, {}) | {account: origin + path}


def show_open_links(desk: Desk, persons: dict[int, Account]) -> None:
    """Every link that nobody has used yet."""
    waiting = account_services.with_open_links(desk.folder, desk.reader)
    links = {account: link for account, link in st.session_state.get(LINKS, {}).items() if account in waiting}
    st.session_state[LINKS] = links
    for account, link in links.items():
        with st.container(border=True):
            _show(desk, persons[account], link)


def _show(desk: Desk, account: Account, link: str) -> None:
    st.markdown(
        f"**Give this link to {verbatim(account.name)}** by a way that nobody else reads. It lets in once, within "
        "seven days, and cannot be shown again when this page is closed."
    )
    st.code(link, language=None, wrap_lines=True)
    with st.expander("As a message, or as a code to photograph", icon=":material/qr_code:"):
        st.code(
            invitation_to_send(account.name, desk.folder.settings().club_name, link), language=None, wrap_lines=True
        )
        st.html(_code(account.name, link))
    if st.button("Take this link back", key=f"take-back-{account.account}", icon=":material/link_off:"):
        account_services.take_link_back(desk.folder, account, desk.reader)
        st.rerun()


def _code(name: str, link: str) -> str:
    """A QR code (ISO/IEC 18004), dark on white in both themes: many cameras read no other."""
    picture = segno.make_qr(link, error="m").svg_data_uri(scale=MODULE_PX, border=QUIET_ZONE_PX, light="white")
    return element("img", src=picture, alt=f"QR code of the link for {name}").removesuffix("</img>")
