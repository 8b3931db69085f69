"""The files of the club: who writes which lines, in which week, in which hand."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from demo_data.club import SETTINGS, SETUPS, TARGETS
from demo_data.dates import CAMP_WEEK, week_of
from demo_data.dialects import Dialect, cells_of, spoken, write_workbook
from demo_data.lines import clean_lines
from demo_data.mistakes import Mistake, Row, with_mistakes
from demo_data.people import HALLS, PLAYERS
from demo_data.probe import probe_lines
from demo_data.robot import FEEDERS, landings
from models.log_line import LogLine
from models.records import RECORDS, BallLine, SessionLine

Line = SessionLine | BallLine

MISCOUNTED_DAY = date(2026, 10, 7)
MISCOUNTED_FILE = "2026-w41-main-hall.csv"
CORRECTION_FILE = "2026-w42-correction-of-w41-main-hall.csv"
WEB_PAGE_FILE = "2026-w46-web-page-saved-as.csv"
TEST_SET_FILE = "2026-w47-test-set.csv"

_WEB_PAGE = """<!DOCTYPE html>
<html lang="en">
<head><meta charset="utf-8"><title>Lirrowford shared folder</title></head>
<body>
<h1>Please sign in</h1>
<p>You have been away for a while, so the file "week 46, club evening" was not sent.</p>
</body>
</html>
"""

_TWO_LINE_NOTE = "all balls sorted, nine broken;\nplease order new ones"


@dataclass(frozen=True)
class PlantedMistake:
    """Where a mistake stands in the files: the line is counted from 1, title and header included."""

    file: str
    line: int
    mistake: Mistake
    seen: str


@dataclass(frozen=True)
class LogFile:
    """One log file: its name, and its lines as they were typed."""

    name: str
    record: type[LogLine]
    dialect: Dialect
    rows: tuple[Row, ...]

    def content(self) -> bytes:
        """The file as its hand saves it."""
        lines = [row.cells for row in self.rows]
        return (
            write_workbook(self.record, lines) if self.name.endswith("xlsx") else self.dialect.write(self.record, lines)
        )

    def mistakes(self) -> list[PlantedMistake]:
        """The mistakes in the file."""
        first = self.dialect.lines_before_data() + 1
        return [
            PlantedMistake(self.name, line, row.mistake, row.cells[row.mistake.column])
            for line, row in enumerate(self.rows, first)
            if row.mistake
        ]


def log_files() -> list[LogFile]:
    """The logs of the season by name, which is the order in which they are loaded."""
    by_name: dict[str, list[Line]] = defaultdict(list)
    for line in clean_lines():
        by_name[_file_of(line)].append(line)
    correction = [line for line in by_name[MISCOUNTED_FILE] if line.session_date == MISCOUNTED_DAY]
    by_name[MISCOUNTED_FILE] = [_first_count(line) for line in by_name[MISCOUNTED_FILE]]
    by_name[CORRECTION_FILE] = list(correction)
    by_name[TEST_SET_FILE] = list(probe_lines())
    return [_log_file(name, lines) for name, lines in sorted(by_name.items())]


def club_files() -> dict[str, bytes]:
    """Settings, players, feeders, setups, targets and landings, as the club keeps them."""
    settings = SETTINGS.model_dump(include={"club_id", "club_name", "is_invented"})
    tidy = Dialect("utf-8")
    return {
        "club.toml": "".join(f"{name} = {_toml(value)}\n" for name, value in settings.items()).encode(),
        "players.csv": tidy.write(RECORDS["players"], [cells_of(player) for player in PLAYERS]),
        "feeders.csv": tidy.write(RECORDS["feeders"], [cells_of(feeder) for feeder in FEEDERS]),
        "setups.csv": tidy.write(RECORDS["setups"], [cells_of(setup) for setup in SETUPS]),
        "targets.csv": tidy.write(RECORDS["targets"], [cells_of(share) for share in TARGETS]),
        "landings.csv": tidy.write(RECORDS["landings"], [cells_of(landing) for landing in landings()]),
    }


def web_page() -> bytes:
    """What the browser saved instead of the log."""
    return _WEB_PAGE.encode()


def _toml(value: object) -> str:
    return str(value).lower() if isinstance(value, bool) else f'"{value}"'


def _file_of(line: Line) -> str:
    week = week_of(line.session_date)
    if week == CAMP_WEEK:
        return f"2026-w{week}-summer-camp.xlsx"
    hall = next(hall.name for hall in HALLS if hall.coach == line.coach)
    return f"2026-w{week}-{'ball-by-ball' if isinstance(line, BallLine) else hall}.csv"


def _first_count(line: Line) -> Line:
    """On one evening the misses were written down as the good balls."""
    if line.session_date != MISCOUNTED_DAY or isinstance(line, BallLine):
        return line
    misses = dict.fromkeys(("net", "long", "wide", "missed"))
    return line.model_copy(update={"good": line.balls - line.good, **misses})


def _log_file(name: str, lines: Sequence[Line]) -> LogFile:
    week = int(name[6:8])
    cells = [cells_of(line) for line in lines]
    dialect = _hand_of(name, week)
    # The last line, so that no line of the file moves away from its number.
    if week % 4 == 1 and "note" not in dialect.left_out:
        cells[-1]["note"] = _TWO_LINE_NOTE
    return LogFile(name, type(lines[0]), dialect, tuple(with_mistakes(name, cells)))


def _hand_of(name: str, week: int) -> Dialect:
    if "annex" in name:
        title = f"Lirrowford TTC, annex, week {week}"
        return replace(_ANNEX, title=title, spare_lines=2 if week % 3 == 0 else 0)
    if "school-gym" in name:
        return replace(_SCHOOL_GYM, spare_columns=week % 2)
    is_second = week % 2 == 0
    return Dialect(
        "utf-8-sig" if is_second else "utf-8",
        with_unused=name == TEST_SET_FILE,
        spare_lines=3 if week % 3 == 0 else 0,
        spare_columns=2 if week % 5 == 0 else 0,
    )


_ANNEX = Dialect(
    "cp1252",
    separator=";",
    decimal_sign=",",
    date_form="%d.%m.%Y",
    line_end="\r\n",
    header=lambda column: column.replace("_", " ").title(),
    word=spoken,
    left_out=("session", "sidespin"),
)

_SCHOOL_GYM = Dialect(
    "utf-16",
    separator="\t",
    date_form="%d/%m/%Y",
    line_end="\r\n",
    header=lambda column: column.replace("_", "-").upper(),
    first_columns=("player",),
    left_out=("session", "height", "note"),
)
