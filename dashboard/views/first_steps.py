"""First steps: a new club on the screen in five steps, each of which ticks off by itself."""

from collections.abc import Callable

import streamlit as st

from dashboard import questions
from dashboard.questions import Desk
from dashboard.views.first_club import name_the_club
from dashboard.views.frame import page, refusals_told, tell_cautions
from dashboard.views.line_form import rounds, send, tell_what_became
from dashboard.views.mix import ask_mix, tell_grid
from dashboard.views.players_pasted import add_players
from dashboard.views.ready_places import pick_places
from dashboard.views.refusals import counted
from dashboard.views.saved_lately import show_saved_lately
from models.mix import EVERYBODY, mix_of, target_lines
from models.ready_places import READY_PLACES
from models.words import DEPTH, SIDE, SPIN_FAMILY
from sql.settings_file import named_in_file

CLUB, PLAYERS, PLACES, MIX, LOG = "The club", "Players", "Places", "The mix", "The first log"


def body(desk: Desk) -> None:
    """Which steps are done; the one that comes next, or the one that is picked; its example and its undo."""
    done = steps_done(desk)
    tell_what_became("first-steps")
    waiting = [step for step in STEPS if not done[step]]
    st.markdown(_how_far(len(STEPS) - len(waiting), waiting))
    # Named for what is done, so that it turns to the next step by itself.
    step = st.segmented_control(
        "Steps",
        list(STEPS),
        default=waiting[0] if waiting else LOG,
        format_func=lambda one: f"✓ {one}" if done[one] else f"{list(STEPS).index(one) + 1} {one}",
        required=True,
        key=f"first-step-{len(waiting)}-{rounds()}",
    )
    st.header(TITLES[step])
    st.caption(EXAMPLES[step])
    with refusals_told():
        STEPS[step](desk)


def steps_done(desk: Desk) -> dict[str, bool]:
    """Each step, and whether what it is for is there."""
    return {
        CLUB: "club_name" in named_in_file(desk.folder),
        PLAYERS: bool(questions.listed_players(desk)),
        PLACES: bool(questions.listed_setups(desk)),
        MIX: bool(questions.wanted_of_all(desk, EVERYBODY)),
        LOG: questions.has_logs(desk),
    }


def _how_far(done: int, waiting: list[str]) -> str:
    if not waiting:
        return "**All five steps are done.** The club's week and the coverage board have their figures from now on."
    return f"**{done} of {counted(len(STEPS), 'step')} done.** Each ticks off by itself, and can be taken back."


def players(desk: Desk) -> None:
    """Typed, pasted, or as a file."""
    known = {row.player_id: row for row in questions.listed_players(desk)}
    add_players(desk, known, sorted({row.group_name for row in known.values() if row.group_name}))
    st.page_link("views/bring_in.py", label="Bring in a file with players", icon=":material/upload_file:")
    show_saved_lately(desk, "players")


def places(desk: Desk) -> None:
    """Where feeders stand."""
    pick_places(desk)
    show_saved_lately(desk, "setups")
    tell_cautions()


def mix(desk: Desk) -> None:
    """What is wanted, from where feeders stand."""
    own = questions.wanted_of_all(desk, EVERYBODY)
    begun = mix_of((row.dimension, row.value, row.share) for row in own) if own else begin_with(desk)
    wanted = ask_mix(f"first-mix-{rounds()}", begun)
    tell_grid(wanted, desk.folder.settings())
    lines = target_lines(wanted, EVERYBODY, {(row.target, row.dimension, row.value): row.share for row in own})
    if st.button("Save this mix", icon=":material/save:", type="primary", disabled=not lines):
        send(desk, "targets-first", "targets", lines)
    show_saved_lately(desk, "targets")


def begin_with(desk: Desk) -> dict[str, dict[str, float]]:
    """Even shares of where feeders stand, and of the kinds of spin."""
    stood = [place for code, place in READY_PLACES.items() if code in questions.setup_names(desk)]
    depths, sides = {place.depth for place in stood}, {place.side for place in stood}
    wanted = {"depth": depths or {*DEPTH.names}, "side": sides or {*SIDE.names}, "spin_family": {*SPIN_FAMILY.names}}
    words = {"depth": DEPTH, "side": SIDE, "spin_family": SPIN_FAMILY}
    return {
        name: {word: 100 / len(chosen) if word in chosen else 0.0 for word in words[name].names}
        for name, chosen in wanted.items()
    }


def first_log(desk: Desk) -> None:
    """By form, by sheet, by file, or at the table; then the board."""
    known, stood = bool(questions.listed_players(desk)), bool(questions.listed_setups(desk))
    if not known or not stood:
        st.info("A log names players and places: these steps come first.", icon=":material/checklist:")
        return
    st.page_link("views/write_block.py", label="Write one block", icon=":material/edit:")
    st.page_link("views/type_sheet.py", label="Type a sheet that was filled in by hand", icon=":material/keyboard:")
    st.page_link("views/bring_in.py", label="Bring in a file", icon=":material/upload_file:")
    st.html('<a class="hl-act hl-inline" href="/table" target="_self">Count balls at the table</a>')
    st.page_link("views/board.py", label="See the coverage board", icon=":material/grid_view:")


STEPS: dict[str, Callable[[Desk], None]] = {
    CLUB: name_the_club,
    PLAYERS: players,
    PLACES: places,
    MIX: mix,
    LOG: first_log,
}
TITLES = {
    CLUB: "What is the club called?",
    PLAYERS: "Who plays?",
    PLACES: "Where do your feeders stand?",
    MIX: "Which balls shall everybody meet?",
    LOG: "What was fed?",
}
EXAMPLES = {
    CLUB: "An example: Riverside Table Tennis, in green. The name stands at the top of every page and on paper.",
    PLAYERS: "An example: twelve names copied from a list of members, one below the other; hands are mended below.",
    PLACES: "An example: a robot at the back centre (BC) and one near the net on the backhand side (NB).",
    MIX: "An example: half of the balls from the back, half from near the net; as much backspin as topspin, a little "
    "without spin. What you wish more of gets a longer slider.",
    LOG: "An example: Mara Brook, from BC, backspin, long, 30 balls of which 18 were good.",
}

page("First steps", "What does a new club need before its first log?", body)
