"""What came in, and what of it would come in: a file in two lines, with a sign for what became of it."""

from dashboard.drawings.cells import state_sign
from dashboard.drawings.icons import icon
from dashboard.drawings.markup import Markup, element
from dashboard.drawings.signs import shown
from dashboard.rows.club import BatchRow

ALL_IN, SOME_IN, NOT_IN, TAKEN_BACK = "all in", "some in", "not in", "taken back"


def file_row(name: str, about: str, became: str) -> Markup:
    """A file by name, a few words about it, and the sign of what became of it."""
    words = element("span", element("b", name), element("span", about))
    return element("div", element("i", _sign(became)), words, class_="hl-file")


def batch_row(batch: BatchRow) -> Markup:
    """A batch of the log; times by the club's clock."""
    about = f"{batch.batch} · {batch.kind} · {lines_told(batch.lines_read, batch.lines_refused)}"
    who = f"{batch.loaded_by or 'somebody'}, {batch.loaded_at.day} {batch.loaded_at:%b %Y, %H:%M}"
    withdrawn = " · withdrawn" if batch.withdrawn_at else ""
    own = " · the player's own word" if batch.is_own and batch.accepted_by is None else ""
    return file_row(batch.file_name, f"{about} · {who}{own}{withdrawn}", _became(batch))


def split_bar(accepted: int, refused: int) -> Markup:
    """How much of a file is in order and how much is refused, side by side; the words beside it say the numbers."""
    parts = (("hl-ok", accepted), ("hl-bad", refused))
    inside = (element("i", class_=kind, style=f"flex:{count} 1 0") for kind, count in parts if count)
    return element("div", *inside, class_="hl-split", aria_hidden="true")


def lines_told(read: int, refused: int) -> str:
    """How many lines a file has, and how many of them are refused: `32 lines, 3 refused`."""
    lines = f"{read:,} line" if read == 1 else f"{read:,} lines"
    return f"{lines}, {f'{refused:,} refused' if refused else 'all in order'}"


def _became(batch: BatchRow) -> str:
    if batch.withdrawn_at:
        return TAKEN_BACK
    if not batch.lines_refused:
        return ALL_IN
    return SOME_IN if batch.lines_accepted else NOT_IN


def _sign(became: str) -> Markup:
    if became == SOME_IN:
        return state_sign("touched")
    if became == ALL_IN:
        return state_sign("covered")
    return element(
        "span", shown(icon("cross" if became == NOT_IN else "undo")), class_=f"hl-{became.replace(' ', '-')}"
    )
