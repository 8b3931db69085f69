"""What every page has in common: who looks, whose data it shows, its head, and what it says when there is nothing."""

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NoReturn
from urllib.parse import urlsplit

import streamlit as st

from dashboard import questions
from dashboard.door.checks import confirm_before
from dashboard.drawings.markup import element
from dashboard.questions import Desk
from dashboard.serving import FOLDER_VARIABLE
from dashboard.words.cautions import BEFORE_YOU_MOVE_IT, MOVING_A_FEEDER, WHO_DECIDES
from dashboard.words.club import figures_up_to
from dashboard.words.phrases import verbatim
from models.permits import NotConfirmed, NotPermitted, Reader, Role
from models.refusal import Refused
from sql.club import web_sessions
from sql.club.file import club_file
from sql.folder import DataFolder
from sql.making_tables import BuildFailed
from sql.warehouse import NothingPublished


def served_folder() -> DataFolder:
    """The data folder that this process serves."""
    return DataFolder(Path(os.environ[FOLDER_VARIABLE]))


def reader() -> Reader:
    """On whose behalf this run asks. Nothing else of the run happens where nobody is signed in any more.

    Streamlit knows who was there when the page was opened; whether they still are, and who they are to the club now,
    stands in the club file, and is asked at every run.
    """
    account = st.user.get("sub")
    if account is None:
        _stop_signed_out()
    with club_file(served_folder()) as connection:
        stay = web_sessions.coordinators_stay(served_folder())
        signed_in = web_sessions.by_number(connection, session(), int(str(account)), stay)
    return signed_in.reader if signed_in else _stop_signed_out()


def session() -> int:
    """The number of the session in which whoever looks is signed in."""
    number = st.user.get("sid")
    return int(str(number)) if number is not None else _stop_signed_out()


def _stop_signed_out() -> NoReturn:
    st.title("You are signed out")
    st.html('<a href="/account/sign-in" target="_self">Sign in again</a>')
    st.stop()


def page(title: str, question: str, body: Callable[[Desk], None]) -> None:
    """Draw a page: its title, the one question it answers, then its body; a designed page where there is no data."""
    folder = served_folder()
    st.title(title)
    st.caption(question)
    with refusals_told():
        body(Desk(folder, reader()))


@contextmanager
def refusals_told() -> Iterator[None]:
    """Tell in a sentence what was refused, and go on with the page."""
    try:
        yield
    except NothingPublished:
        nothing_yet("Nothing is loaded yet.", "Begin with the players, then the setups and a target, then the logs.")
    except NotPermitted as refusal:
        refused(str(refusal))
    except NotConfirmed as refusal:
        ask_to_confirm(str(refusal))
    except BuildFailed as problem:
        st.error(
            "What was done is stored, but the figures could not be made anew; the pages still show the earlier ones. "
            f"The reason: {verbatim(str(problem))}",
            icon=":material/error:",
        )
    except Refused as problem:
        st.error(verbatim(str(problem)), icon=":material/error:")


def refused(sentence: str) -> None:
    """What is not open to whoever looks, and to whom to turn."""
    st.error(sentence, icon=":material/lock:")


def ask_to_confirm(why: str) -> None:
    """Lead to where one says again who one is, and from there back to this page."""
    here = urlsplit(st.context.url or "/")
    wanted = here.path + (f"?{here.query}" if here.query else "")
    st.warning(why, icon=":material/lock:")
    way = element("a", "Say who you are", href=confirm_before(wanted), target="_self", class_="hl-act hl-inline")
    st.html(way)


def is_confirmed(desk: Desk) -> bool:
    """Whoever looks has said only now who they are; else that is asked for here."""
    if not desk.reader.is_confirmed:
        ask_to_confirm("Say again who you are before you do this: an open browser alone is not enough for it.")
    return desk.reader.is_confirmed


def nothing_yet(what: str, next_step: str) -> None:
    """An empty state: what is missing, and the next step for whoever can take it."""
    with st.container(border=True):
        st.header(what)
        if reader().role is Role.COORDINATOR:
            st.write(next_step)
            st.page_link("views/first_steps.py", label="First steps", icon=":material/checklist:")
            st.page_link("views/bring_in.py", label="Bring in logs", icon=":material/upload_file:")
        else:
            st.write("Your coordinator brings the logs in.")


def tell_cautions() -> None:
    """What to mind where a feeder is moved or a ball could hit someone."""
    st.header(BEFORE_YOU_MOVE_IT)
    st.markdown("\n".join(f"- {caution}" for caution in MOVING_A_FEEDER))
    st.caption(WHO_DECIDES)


def cut_off_caption(desk: Desk) -> None:
    """Up to which day the figures go."""
    build = questions.this_build(desk)
    if build.cut_off:
        st.caption(figures_up_to(build.cut_off))
