"""The mistakes that people make, planted in the logs one by one."""

from collections.abc import Callable
from dataclasses import dataclass

from demo_data.dialects import Cells

Fits = Callable[[Cells], bool]
Change = Callable[[Cells], Cells]


@dataclass(frozen=True)
class Mistake:
    """One mistake: the first line of a file, from the row `from_row` on, that fits is changed.

    `column` is the one to mend. With `is_repeat` the line stays as it is and stands in the file twice.
    """

    file: str
    from_row: int
    column: str
    what: str
    change: Change
    fits: Fits
    is_repeat: bool = False


@dataclass(frozen=True)
class Row:
    """One line of a file as it was typed, with the mistake in it, if any."""

    cells: Cells
    mistake: Mistake | None = None


def with_mistakes(file: str, lines: list[Cells]) -> list[Row]:
    """The lines of a file as they were typed."""
    rows = [Row(cells) for cells in lines]
    for mistake in MISTAKES:
        if mistake.file == file:
            _plant(mistake, rows)
    return rows


def _plant(mistake: Mistake, rows: list[Row]) -> None:
    fitting = (n for n in range(mistake.from_row, len(rows)) if not rows[n].mistake and mistake.fits(rows[n].cells))
    place = next(fitting, None)
    if place is None:
        raise LookupError(f"{mistake.file}: no line from row {mistake.from_row} of {len(rows)} on fits {mistake.what}")
    wrong = Row(mistake.change(rows[place].cells), mistake)
    rows[place : place + 1] = [rows[place], wrong] if mistake.is_repeat else [wrong]


def _typed(file: str, from_row: int, column: str, text: str, what: str, instead_of: str = "") -> Mistake:
    """A cell that should have read something else; `instead_of` picks a line where it did."""
    return Mistake(
        file,
        from_row,
        column,
        what,
        lambda cells: {**cells, column: text},
        lambda cells: cells[column] == instead_of if instead_of else cells[column] not in ("", text),
    )


def _letters_swapped(file: str, from_row: int, player: str) -> Mistake:
    wrong = player[0] + player[2] + player[1] + player[3]
    return _typed(file, from_row, "player", wrong, "unknown player: two letters swapped", player)


def _more_good_than_balls(file: str, from_row: int) -> Mistake:
    return Mistake(
        file,
        from_row,
        "good",
        "more good balls than balls",
        lambda cells: {**cells, "good": str(int(cells["balls"]) + 5)},
        lambda cells: not cells["net"],
    )


def _does_not_add_up(file: str, from_row: int) -> Mistake:
    return Mistake(
        file,
        from_row,
        "balls",
        "good and the misses do not add up to balls",
        lambda cells: {**cells, "net": str(int(cells["net"]) + 3)},
        lambda cells: bool(cells["net"]),
    )


def _no_balls(file: str, from_row: int) -> Mistake:
    counts = ("balls", "good", "net", "long", "wide", "missed")
    return Mistake(
        file,
        from_row,
        "balls",
        "a block that was planned and not played",
        lambda cells: {**cells, **{column: "0" for column in counts if cells[column]}},
        lambda _: True,
    )


def _twice(file: str, from_row: int) -> Mistake:
    return Mistake(file, from_row, "player", "the same line twice", dict, lambda _: True, is_repeat=True)


_W45_MAIN, _W46_MAIN, _W47_MAIN = (f"2026-w{week}-main-hall.csv" for week in (45, 46, 47))
_W45_ANNEX, _W46_ANNEX, _W47_ANNEX = (f"2026-w{week}-annex.csv" for week in (45, 46, 47))
_W45_GYM, _W46_GYM, _W47_GYM = (f"2026-w{week}-school-gym.csv" for week in (45, 46, 47))
_W46_BALLS, _W47_BALLS = (f"2026-w{week}-ball-by-ball.csv" for week in (46, 47))

MISTAKES = (
    _typed("2026-w27-main-hall.csv", 30, "session_date", "2026-06-31", "June has 30 days", "2026-07-01"),
    _typed("2026-w29-annex.csv", 8, "spin", "Topsin", "misspelt word", "topspin"),
    _typed("2026-w33-summer-camp.xlsx", 40, "balls", "about 30", "text in a number column", "30"),
    _letters_swapped("2026-w36-school-gym.csv", 2, "MIZA"),
    _does_not_add_up("2026-w38-main-hall.csv", 25),
    _typed("2026-w40-ball-by-ball.csv", 90, "outcome", "out", "a word that the log does not know"),
    _typed("2026-w42-main-hall.csv", 33, "tempo_bpm", "slow", "text in a number column"),
    _typed(_W45_MAIN, 6, "spin", "bakspin", "misspelt word", "backspin"),
    _letters_swapped(_W45_MAIN, 20, "NASI"),
    _more_good_than_balls(_W45_MAIN, 45),
    _typed(_W45_MAIN, 70, "tempo_bpm", "400", "a zero too many"),
    _typed(_W45_ANNEX, 4, "setup", "BX", "unknown setup"),
    _typed(_W45_ANNEX, 15, "length", "", "a required cell left empty"),
    _no_balls(_W45_GYM, 1),
    _twice(_W46_MAIN, 12),
    _does_not_add_up(_W46_MAIN, 30),
    _typed(_W46_MAIN, 50, "session_date", "2062-11-11", "two digits swapped: a day in the future", "2026-11-11"),
    _typed(_W46_MAIN, 66, "balls", "forty", "text in a number column", "40"),
    _typed(_W46_ANNEX, 3, "length", "Halflong", "misspelt word", "half_long"),
    _letters_swapped(_W46_ANNEX, 12, "AIBR"),
    _typed(_W46_ANNEX, 25, "good", "", "a required cell left empty"),
    _typed(_W46_GYM, 3, "spin", "back spin", "misspelt word", "backspin"),
    _more_good_than_balls(_W46_GYM, 6),
    _typed(_W46_BALLS, 40, "spin", "bakspin", "misspelt word", "backspin"),
    _twice(_W46_BALLS, 100),
    _typed(_W46_BALLS, 210, "outcome", "out", "a word that the log does not know"),
    _typed(_W47_MAIN, 5, "setup", "CN", "unknown setup: two letters swapped", "NC"),
    _typed(_W47_MAIN, 22, "balls", "3O", "the letter O for a zero", "30"),
    _letters_swapped(_W47_MAIN, 32, "BECA"),
    _does_not_add_up(_W47_MAIN, 45),
    _typed(_W47_MAIN, 58, "session_date", "2026-11-31", "November has 30 days"),
    _typed(_W47_MAIN, 74, "effort", "12", "beyond the scale of 0 to 10"),
    _typed(_W47_ANNEX, 6, "minutes", "5 min", "a unit in a number column"),
    _more_good_than_balls(_W47_ANNEX, 14),
    _typed(_W47_GYM, 2, "setup", "", "a required cell left empty"),
    _typed(_W47_GYM, 8, "placement", "forhand", "misspelt word", "forehand"),
    _typed(_W47_BALLS, 60, "ball", "O1", "a letter in a number column"),
)
